package web

import (
	"context"
	"net/http"
	"sort"
	"strings"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/quantity"
)

// clayPaper is the card of one clay dug at one place and depth.
var clayPaper = &brickPaper{
	Key: brick.ClayPaper, fields: brick.ClayFields, example: "stream-clay.yaml",
	parse: parser(brick.ParseClay),
	begin: func(*message.Catalogue) any { return &brick.ClayForm{} },
	read:  func(f any) (any, error) { return f.(*brick.ClayForm).Read() },
}

func init() { clayPaper.page, clayPaper.glance = clayPageOf, clayGlance }

// clayParts are the parts of the card in the order of the paper.
var clayParts = []brickPart{
	{Key: "dug", Paths: []string{"name", "pit", "depth", "date", "note"}, Step: brick.StepDigging},
	{Key: "hand", Paths: []string{"ribbon", "coil", "drop"}},
	{Key: "jar", Paths: []string{"jar.sand", "jar.silt", "jar.clay", "jar.water"}},
	{Key: "bar", Paths: []string{"bar.wet", "bar.dry", "bar.fired", "bar.at", "bar.ruler"}},
	{Key: "moisture", Paths: []string{"moisture.moist", "moisture.dry"}},
	{Key: "loss", Paths: []string{"loss.dry", "loss.fired", "loss.at"}, Step: brick.StepFiring},
	{Key: "vinegar", Paths: []string{"lime", "salts"}, Step: brick.StepTesting},
}

type clayPage struct {
	sheetPage
	Card     brick.ClayCard
	Verdict  message.Text
	Readings []brick.ClayReading
	Facts    []brickFact
	Strip    answerStrip
	JarTimes message.Text
	History  []message.Text
	Same     []*sheet // other cards of the pit
}

func clayPageOf(b *Bench, r *http.Request, s *sheet) (string, any, error) {
	p := clayPage{sheetPage: sheetPage{b.sheetFrame(r, s), b.sheetGroups(s, clayParts, brick.Mix{})}}
	p.Card = s.Value.(brick.ClayCard)
	p.Verdict, p.Readings = p.Card.Verdict(), p.Card.Readings()
	p.Facts = clayFacts(p.Card)
	kelvin := p.Card.JarKelvin
	if !(kelvin > 0) {
		kelvin = quantity.Celsius.SI(20)
	}
	sand, silt := brick.JarTimes(0.1, kelvin)
	p.JarTimes = message.T("web.bricks.jar-times", "water", quantity.C(kelvin), "sand", quantity.Value{SI: sand, Unit: quantity.Second, Step: 5}, "silt", hoursOf(silt))
	p.Strip = answerStrip{Facts: p.Facts, Words: []message.Text{p.Verdict}, More: len(p.Readings) > 0}
	p.Strip.Short = append([]brickFact{brickFactOf("web.bricks.tests-done", plainText(len(p.Readings)))}, p.Facts[:min(2, len(p.Facts))]...)
	var err error
	if p.Same, p.History, err = b.samePit(r.Context(), s, p.Card); err != nil {
		return "", nil, err
	}
	return "bricksclay", p, nil
}

// clayFacts are what the scale and the ruler told.
func clayFacts(c brick.ClayCard) (list []brickFact) {
	add := func(id string, v float64, show func(float64) quantity.Value) {
		if v == v { // NaN where it was not measured
			list = append(list, brickFactOf(id, plainText(show(v))))
		}
	}
	add("web.bricks.drying", c.Drying, percentOf)
	add("web.bricks.firing", c.Firing, percentOf)
	if c.Drying == c.Drying && c.Firing == c.Firing {
		list = append(list, brickFactOf("web.bricks.total", plainText(percentOf(float64(brick.Combine(brick.Drying(c.Drying), brick.Firing(c.Firing)))))))
	}
	add("web.bricks.moisture", c.Moisture, percentOf)
	add("web.bricks.loss", c.Loss, percentOf)
	add("web.bricks.fine", c.FineShare(), quantity.Pct)
	return list
}

// samePit finds the other cards of a pit, oldest first, and what changed there.
func (b *Bench) samePit(ctx context.Context, s *sheet, card brick.ClayCard) (same []*sheet, history []message.Text, err error) {
	pit := func(c brick.ClayCard) string { return strings.ToLower(strings.TrimSpace(c.Pit)) }
	if pit(card) == "" {
		return nil, nil, nil
	}
	list, err := b.sheets(ctx, clayPaper)
	if err != nil {
		return nil, nil, err
	}
	cards := []brick.ClayCard{card}
	for _, other := range list {
		if other.broken != nil || other.ID == s.ID {
			continue
		}
		c := other.Value.(brick.ClayCard)
		if pit(c) == pit(card) {
			c.Pit = card.Pit
			same, cards = append(same, other), append(cards, c)
		}
	}
	sort.SliceStable(same, func(i, j int) bool { return same[i].Form.(*brick.ClayForm).Date < same[j].Form.(*brick.ClayForm).Date })
	return same, brick.PitHistory(cards), nil
}

func clayGlance(_ *Bench, _ context.Context, s *sheet) []message.Text {
	c := s.Value.(brick.ClayCard)
	var lines []message.Text
	if c.Pit != "" {
		lines = append(lines, message.T("web.bricks.glance.pit", "pit", c.Pit))
	}
	return append(lines, c.Verdict())
}
