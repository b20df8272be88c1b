package workshop_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"stovewright/workshop"
)

// A pot is measured, measured again, and the second measure taken back. The
// numbers are invented.
func Example() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "example")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	f, err := workshop.Create(ctx, filepath.Join(dir, "village"+workshop.Extension))
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()

	first, err := f.Save(ctx, workshop.Edit{
		Kind: "pot", Name: "school pot",
		Content: []byte("circumference: 151 cm\nheight: 40 cm\n"),
		By:      workshop.By{Who: "Ada", Why: "tape, at the widest point"},
	})
	if err != nil {
		log.Fatal(err)
	}
	second, err := f.Save(ctx, workshop.Edit{
		Record: first.Record, Base: first.ID, Name: "school pot",
		Content: []byte("circumference: 156 cm\nheight: 40 cm\n"),
		By:      workshop.By{Who: "Ben", Why: "measured again"},
	})
	if err != nil {
		log.Fatal(err)
	}
	changes, err := f.Changes(ctx, second.ID)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range changes {
		fmt.Printf("%s changed %s from %s to %s\n", second.Who, c.Field, c.Old, c.New)
	}
	undone, err := f.Undo(ctx, first.Record, second.ID, workshop.By{Who: "Ben", Why: "that was another pot"})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("revision %d says again:\n%s", undone.Number, undone.Content)
	// Output:
	// Ben changed circumference from 151 cm to 156 cm
	// revision 3 says again:
	// circumference: 151 cm
	// height: 40 cm
}

// A form saves a draft at every key; a pause makes it a revision.
func ExampleFile_SaveDraft() {
	ctx := context.Background()
	dir, err := os.MkdirTemp("", "example")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	f, err := workshop.Create(ctx, filepath.Join(dir, "village"+workshop.Extension))
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	now := time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)
	f.Now = func() time.Time { return now }

	id := workshop.NewID()
	for _, typed := range []string{"h", "height: 4", "height: 40 cm\n"} {
		err := f.SaveDraft(ctx, workshop.Draft{Edit: workshop.Edit{
			Record: id, Kind: "pot", Name: "school pot", Content: []byte(typed), By: workshop.By{Who: "Ada"},
		}})
		if err != nil {
			log.Fatal(err)
		}
		now = now.Add(time.Second)
	}
	now = now.Add(5 * time.Second)
	revisions, err := f.Settle(ctx, 5*time.Second)
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range revisions {
		fmt.Printf("%d %s %s", r.Number, r.At.Format("15:04:05"), r.Content)
	}
	// Output:
	// 1 08:00:02 height: 40 cm
}
