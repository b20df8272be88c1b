package brick

import (
	"slices"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
)

// Paper is a kind of sheet that a brick maker keeps.
type Paper string

// The sheets, in the order of the work.
const (
	ClayPaper   Paper = "clay"   // [ClayForm], a clay and its field tests
	SeriesPaper Paper = "series" // [SeriesForm], trials of mixes
	DryingPaper Paper = "drying" // [DryingForm], a weigh-back log
	FiringPaper Paper = "firing" // [KilnForm], a firing wanted and its log
	MouldPaper  Paper = "mould"  // [MouldForm], a mould to be made
	BatchPaper  Paper = "batch"  // [BatchForm], a batch to be made
)

// Papers are all sheets.
var Papers = []Paper{ClayPaper, SeriesPaper, DryingPaper, FiringPaper, MouldPaper, BatchPaper}

// Name is what the sheet is called.
func (p Paper) Name() message.Text { return message.T("brick.paper." + string(p)) }

// Fields is the sheet in the order of the paper.
func (p Paper) Fields() form.Fields {
	return map[Paper]form.Fields{ClayPaper: ClayFields, SeriesPaper: SeriesFields, DryingPaper: DryingFields,
		FiringPaper: KilnFields, MouldPaper: MouldFields, BatchPaper: BatchFields}[p]
}

// Lists are the paths of what may stand in the sheet more than once; inner lists
// come after those they are in.
func (p Paper) Lists() []string {
	return map[Paper][]string{SeriesPaper: {"materials", "trials", "trials.mix", "trials.bricks"}, DryingPaper: {"rows"},
		FiringPaper: {"rows", "bricks"}, MouldPaper: {"lines"}}[p]
}

// names are the names of the fields at the top of a file of the sheet.
func (p Paper) names() []string {
	var list []string
	for _, f := range p.Fields() {
		if top, _, _ := strings.Cut(f.Path, "."); !slices.Contains(list, top) {
			list = append(list, top)
		}
	}
	return list
}

// PaperOf tells by its field names what sheet a file is: the one that has most
// of them. The error is a [message.InputErrors].
func PaperOf(data []byte) (Paper, error) {
	written, err := form.Names(data)
	if err != nil {
		return "", err
	}
	best, most := Paper(""), 0
	for _, p := range Papers {
		known, count := p.names(), 0
		for _, n := range written {
			if n != "name" && n != "note" && slices.Contains(known, n) {
				count++
			}
		}
		if count > most {
			best, most = p, count
		}
	}
	if best == "" {
		return "", message.InputErrors{{Field: "file", Reason: message.T("brick.paper.unknown"), Try: "name: stream clay\nribbon: 40 mm"}}
	}
	return best, nil
}
