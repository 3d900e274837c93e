//go:build js

package page

import (
	"context"
	"errors"
	"fmt"

	"crownbench/wasm/desk"
	"crownbench/wasm/store"
	"crownbench/wasm/tray"
)

// keeper keeps what is on the desk in the browser's database. Where there is
// no database (a private window, say) the program runs without, and says so.
type keeper struct {
	app      *App
	store    *store.Store      // nil when there is none
	photos   map[string][]byte // kept for this visit, without a database
	settings *desk.Settings    // still to be kept, nil when none
	// keepingSettings tells that settings are being kept right now.
	keepingSettings bool
	backup          *desk.Backup // still to be kept, nil when none
	keepingBackup   bool
	cleared         bool // what the browser threw away is being saved anew
	persisted       bool // the browser has been asked to keep the tray
	toKeep          toKeep
}

// Names of what is kept of the desk among the settings.
const (
	placeSetting   = "place"
	sortingSetting = "sorting"
	backupSetting  = "backup"
)

// open loads what was kept and gives the place the desk was left at, what was
// chosen for all teeth and what is known of the last backup.
func (k *keeper) open(ctx context.Context) (place desk.Place, settings desk.Settings, backup desk.Backup) {
	d := k.app.desk
	s, err := store.Open(ctx, store.Options{Progress: k.progress, Conflict: func(c *store.Conflict) { d.Conflict(sentence(c), c.ID, c.Ours, c.Stored) }})
	if err != nil {
		k.photos = map[string][]byte{}
		d.SetSaving(desk.SavingOff, sentence(err))
		d.Warn(sentence(err) + " Until then nothing is kept when the page is closed: take the table and the record out before.")
		return place, settings, backup
	}
	k.store = s
	specimens, damaged, err := s.Load(ctx)
	if err != nil {
		d.Warn(sentence(err))
	}
	for _, x := range damaged {
		d.WarnOfUnread(sentence(x), "unread-specimen-"+x.ID+".txt", x.Raw)
	}
	for _, x := range specimens {
		if _, err := k.app.tray.Adopt(x); err != nil {
			d.Warn(sentence(err))
		}
	}
	work, unread := k.keptWork(ctx)
	d.TakeKeptWork(work)
	if err == nil && unread == nil && len(damaged) == 0 {
		// What cannot be swept now is swept at another start.
		go func() { _, _ = s.Sweep(context.Background(), lessonFiles(work)...) }()
	}
	// A place that cannot be read is no place: the desk starts at the first tooth.
	_, _ = s.Setting(ctx, placeSetting, &place)
	if _, err := s.Setting(ctx, sortingSetting, &settings); err != nil {
		d.Warn("What was chosen for the sorting could not be read: " + sentence(err))
	}
	// Without it the next reminder comes later than it should.
	_, _ = s.Setting(ctx, backupSetting, &backup)
	s.Watch(k.reread)
	return place, settings, backup
}

func (k *keeper) progress(pending int, err error) {
	var e *store.Error
	switch {
	case errors.As(err, &e) && e.Fault == store.Cleared:
		// The store says so again until the first write has succeeded.
		if !k.cleared {
			k.cleared = true
			k.putBack()
		}
	case err != nil:
		k.app.desk.SetSaving(desk.NotSaved, sentence(err))
		k.app.desk.Warn(sentence(err))
	case pending > 0:
		k.app.desk.SetSaving(desk.SavingNow, "")
	default:
		k.cleared = false
		k.app.desk.SetSaving(desk.Saved, "")
	}
}

// putBack saves the whole tray anew after the browser has thrown it away. The
// files of the photographs are not in memory; they come back when their owner
// adds them again.
func (k *keeper) putBack() {
	all := k.app.tray.Specimens()
	if len(all) == 0 {
		return
	}
	changes := make([]tray.Change, len(all))
	for i, s := range all {
		changes[i].After = s
	}
	k.app.desk.Warn("This browser was told to throw away what the program had saved. The teeth on this page have been saved anew, with every mark; their photographs are gone. Add the same photograph files again, and they come back under their marks.")
	k.keep(changes)
}

// keep saves changes; it returns at once.
func (k *keeper) keep(changes []tray.Change) {
	k.app.desk.Worked(changes)
	if k.store == nil {
		return
	}
	k.app.desk.SetSaving(desk.SavingNow, "") // until progress says otherwise
	k.store.Keep(changes)
	if !k.persisted {
		k.persisted = true
		go func() { _, _ = k.store.Persist(context.Background()) }() // a wish; the browser decides
	}
}

// reread takes over a specimen as another tab left it.
func (k *keeper) reread(id string) {
	s, err := k.store.Read(context.Background(), id)
	if err != nil {
		k.app.desk.Warn(sentence(err))
		return
	}
	k.app.desk.ChangedElsewhere(id, s)
}

// flush saves what is pending, when the page may be about to go.
func (k *keeper) flush() {
	if k.store != nil {
		go func() { _ = k.store.Flush(context.Background()) }() // its outcome comes through progress
	}
}

func (k *keeper) photo(ctx context.Context, hash string) ([]byte, error) {
	if k.store != nil {
		return k.store.Photo(ctx, hash)
	}
	if b, ok := k.photos[hash]; ok {
		return b, nil
	}
	return nil, errors.New("the picture of this photograph is not in this browser; its marks are kept")
}

func (k *keeper) keepPhoto(ctx context.Context, hash string, b []byte) error {
	if k.store == nil {
		k.photos[hash] = b
		return nil
	}
	if err := k.store.PutPhoto(ctx, hash, b); err != nil {
		return fmt.Errorf("the photograph could not be kept: %w", err)
	}
	return nil
}

func (k *keeper) remember(p desk.Place) {
	if k.store != nil {
		// A place that could not be kept costs nobody anything.
		go func() { _ = k.store.SetSetting(context.Background(), placeSetting, p) }()
	}
}

// keepBackup keeps the latest that is known of the backup, as keepSettings does
// with settings.
func (k *keeper) keepBackup(b desk.Backup) {
	if k.store == nil {
		return
	}
	k.backup = &b
	if k.keepingBackup {
		return
	}
	k.keepingBackup = true
	go func() {
		defer func() { k.keepingBackup = false }()
		for k.backup != nil {
			latest := *k.backup
			k.backup = nil
			// What could not be kept makes the next reminder come later; a store
			// that keeps nothing says so itself.
			_ = k.store.SetSetting(context.Background(), backupSetting, latest)
		}
	}()
}

func (k *keeper) askSpace() {
	if k.store == nil {
		return
	}
	go func() {
		used, quota := k.store.Estimate(context.Background())
		k.app.desk.SetSpace(desk.Space{Used: used, Quota: quota})
	}()
}

func (k *keeper) thumbnail(ctx context.Context, hash string) []byte {
	if k.store == nil {
		return nil
	}
	b, err := k.store.Thumbnail(ctx, hash)
	if err != nil {
		return nil // it is made again
	}
	return b
}

func (k *keeper) keepThumbnail(ctx context.Context, hash string, b []byte) {
	if k.store != nil {
		_ = k.store.PutThumbnail(ctx, hash, b) // or made again next time
	}
}

// keepSettings keeps the latest settings; while one is being kept, only the
// last of those that follow is.
func (k *keeper) keepSettings(s desk.Settings) {
	if k.store == nil {
		return
	}
	k.settings = &s
	if k.keepingSettings {
		return
	}
	k.keepingSettings = true
	go func() {
		defer func() { k.keepingSettings = false }()
		for k.settings != nil {
			latest := *k.settings
			k.settings = nil
			if err := k.store.SetSetting(context.Background(), sortingSetting, latest); err != nil {
				k.app.desk.Warn("The choice for the sorting holds until the page is closed: " + sentence(err))
			}
		}
	}()
}
