package desk

// PictureState tells how far the picture under the bench is.
type PictureState int

const (
	PictureNone PictureState = iota
	PictureOpening
	PictureReady
	PictureBad
)

func (d *Desk) preparePictures() {
	s := d.Specimen()
	d.outside.PreparePictures(s, func(urls map[string]string) {
		d.urls = urls
		d.outside.Refresh()
	})
}

// PictureURL gives the web address of a photograph's picture, or "".
func (d *Desk) PictureURL(hash string) string { return d.urls[hash] }

// PictureShown and PictureFailed answer Outside.ShowPicture.
func (d *Desk) PictureShown(hash string) {
	if hash == d.pictureFor {
		d.picture = PictureReady
		d.readPixels()
		d.outside.Redraw()
		d.outside.Refresh()
	}
}

// PictureFailed tells why a picture cannot be shown; its marks stay.
func (d *Desk) PictureFailed(hash, why string) {
	if hash == d.pictureFor {
		d.picture, d.pictureWhy = PictureBad, why
		d.readPixels()
		d.outside.Refresh()
	}
}

// Picture tells how far the picture under the bench is, and why it is not
// there when it is not.
func (d *Desk) Picture() (PictureState, string) { return d.picture, d.pictureWhy }

// LosePhotoView tells the desk that photographs cannot be drawn here; typed
// values, sorting and sheet go on.
func (d *Desk) LosePhotoView(why string) {
	d.noPhotoView = why
	d.outside.Refresh()
}

// NoPhotoView gives the reason why photographs cannot be drawn, or "".
func (d *Desk) NoPhotoView() string { return d.noPhotoView }
