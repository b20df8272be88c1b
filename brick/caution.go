package brick

import "stovewright/message"

// Step is a step of the work at which something can hurt.
type Step string

// The steps, in the order of the work.
const (
	StepDigging  Step = "digging"
	StepSieving  Step = "sieving"
	StepMixing   Step = "mixing"
	StepDrying   Step = "drying"
	StepFiring   Step = "firing"
	StepUnload   Step = "unloading"
	StepCutting  Step = "cutting"
	StepCrushing Step = "crushing"
	StepTesting  Step = "testing" // vinegar, boiling water, refiring
)

// Cautions are the warnings of one step, each with what to do, for a mix (the
// zero Mix where there is none yet). They stand where the hazard arises and
// replace no local rule.
func Cautions(step Step, m Mix) []message.Text {
	has := func(kinds ...string) bool {
		for _, p := range m.Portions {
			for _, k := range kinds {
				if p.Ingredient.Kind == k && p.Mass > 0 {
					return true
				}
			}
		}
		return false
	}
	burns := has("sawdust", "rice-husk", "charcoal-fines")
	var list []message.Text
	add := func(when bool, id string) {
		if when {
			list = append(list, message.T(id))
		}
	}
	switch step {
	case StepDigging:
		add(true, "brick.caution.pit")
	case StepSieving:
		add(true, "brick.caution.silica")
		add(has("vermiculite"), "brick.caution.vermiculite")
		add(has("sawdust", "charcoal-fines"), "brick.caution.dust-fire")
	case StepMixing:
		add(true, "brick.caution.silica")
		add(has("wood-ash"), "brick.caution.lime")
	case StepDrying:
		add(true, "brick.caution.damp-kiln")
	case StepFiring:
		add(true, "brick.caution.kiln")
		add(true, "brick.caution.damp-kiln")
		add(burns, "brick.caution.burnout")
	case StepUnload:
		add(true, "brick.caution.unload")
		add(has("rice-husk"), "brick.caution.husk-ash")
	case StepCutting:
		add(true, "brick.caution.cutting")
		add(has("rice-husk"), "brick.caution.husk-ash")
	case StepCrushing:
		add(true, "brick.caution.crushing")
	case StepTesting:
		add(true, "brick.caution.boiling")
		add(true, "brick.caution.lime-pops")
	}
	return list
}

// CementCaution belongs wherever cement or lime is offered or written: both
// burn skin and eyes, and cement fails in the heat of a chamber.
func CementCaution() message.Text { return message.T("brick.caution.cement") }
