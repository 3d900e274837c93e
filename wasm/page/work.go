//go:build js

package page

import (
	"context"
	"errors"

	"crownbench/wasm/desk"
	"crownbench/wasm/store"
)

// Names of what is kept of lessons among the settings.
const (
	lessonsSetting = "lessons"
	workSetting    = "lesson work " // and the key of the work
)

// toKeep is what is still to be kept of lessons: only the latest of each.
type toKeep struct {
	all     []desk.KeptWork
	list    bool // all is to be kept
	states  map[string]func() ([]byte, error)
	keeping bool
}

// keptWork loads the list of work.
func (k *keeper) keptWork(ctx context.Context) ([]desk.KeptWork, error) {
	var all []desk.KeptWork
	_, err := k.store.Setting(ctx, lessonsSetting, &all)
	if err != nil {
		k.app.desk.Warn("The work on lessons could not be read: " + sentence(err))
	}
	return all, err
}

// lessonFiles are the hashes of the lesson files that work is kept on.
func lessonFiles(all []desk.KeptWork) []string {
	var hashes []string
	for _, w := range all {
		hashes = append(hashes, w.File)
	}
	return hashes
}

// keepWork keeps the list of work and the state of one, the latest of each, one
// after the other.
func (k *keeper) keepWork(all []desk.KeptWork, key string, state func() ([]byte, error)) {
	t := &k.toKeep
	t.all, t.list = all, true
	if t.states == nil {
		t.states = map[string]func() ([]byte, error){}
	}
	t.states[key] = state
	if k.store == nil || t.keeping {
		return
	}
	t.keeping = true
	k.app.desk.SetSaving(desk.SavingNow, "")
	go func() {
		err := k.keepLatest(context.Background())
		t.keeping = false
		if err != nil {
			k.app.desk.SetSaving(desk.NotSaved, sentence(err))
			k.app.desk.Warn("The work on the lesson holds until the page is closed: " + sentence(err))
			return
		}
		k.app.desk.SetSaving(desk.Saved, "")
	}()
}

func (k *keeper) keepLatest(ctx context.Context) error {
	t := &k.toKeep
	for t.list || len(t.states) > 0 {
		for key, state := range t.states {
			delete(t.states, key)
			b, err := state()
			if err == nil {
				err = k.store.SetSetting(ctx, workSetting+key, string(b))
			}
			if err != nil {
				return err
			}
		}
		if t.list {
			t.list = false
			if err := k.store.SetSetting(ctx, lessonsSetting, t.all); err != nil {
				return err
			}
		}
	}
	return nil
}

// work gives a lesson file, nil when it is lost, and the state of the work on
// it.
func (k *keeper) work(ctx context.Context, w desk.KeptWork) (file, state []byte, err error) {
	var missing *store.NoPhoto
	file, err = k.photo(ctx, w.File)
	if err != nil && k.store != nil && !errors.As(err, &missing) {
		return nil, nil, err
	}
	if k.store == nil {
		if f := k.toKeep.states[w.Key]; f != nil {
			state, err = f()
			return file, state, err
		}
		return nil, nil, errors.New("this browser keeps nothing, so the work is gone")
	}
	var text string
	if ok, err := k.store.Setting(ctx, workSetting+w.Key, &text); err != nil || !ok {
		return nil, nil, errors.Join(err, errors.New("the work is no longer in this browser"))
	}
	return file, []byte(text), nil
}
