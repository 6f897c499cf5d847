package spindles

import (
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/rank"
)

// Diagnosis is one build of those that say what a mark or a sound may come from with each of a machine's spindles cutting. Each is taken to be as
// likely to have cut; what is the same with all of them is said once. The builds are not to be used afterwards.
func Diagnosis(list []Cutting) *build.Build {
	out := list[0].Build
	if len(list) == 1 {
		return out
	}
	d := *out.Diagnosis
	d.Causes, d.Other = nil, 0
	for _, c := range list {
		d.Other += c.Diagnosis.Other / float64(len(list))
		for _, cause := range c.Diagnosis.Causes {
			cause.Share /= float64(len(list))
			same := func(o build.Cause) bool { return o.What == cause.What && o.Predicted == cause.Predicted }
			if n := slices.IndexFunc(d.Causes, same); n >= 0 {
				d.Causes[n].Share += cause.Share
				continue
			}
			if !everywhere(list, same) {
				cause.What += ", spindle " + c.Spindle + " cutting"
				cause.Figure = ""
			}
			d.Causes = append(d.Causes, cause)
		}
	}
	rank.By(d.Causes, func(c build.Cause) float64 { return c.Share })
	out.Diagnosis = &d
	return out
}

// everywhere reports whether every build names a cause.
func everywhere(list []Cutting, same func(build.Cause) bool) bool {
	return !slices.ContainsFunc(list, func(c Cutting) bool { return !slices.ContainsFunc(c.Diagnosis.Causes, same) })
}
