package spec

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"ironbed/schema"
)

// Two slips that CUE's own parser words so that nobody finds them: a value with
// its unit that is not in quotes, and a decimal comma.
var (
	inQuotes  = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
	bareUnit  = regexp.MustCompile(`[:\[,]\s*([-+]?\d+(?:\.\d+)?)\s*([a-zA-Zµ°][a-zA-Zµ°·/0-9]*)`)
	bareComma = regexp.MustCompile(`:\s*([-+]?\d+),(\d+)\b`)
	multiple  = regexp.MustCompile(`^(?:[eE][-+]?\d+|[kKMGTP]i?|[xob][0-9a-fA-F]+)$`) // CUE's own endings of numbers
)

// fieldHints say where something goes that people look for under another name.
var fieldHints = map[string]string{
	"spindle.power":      "a spindle is told by its `torque` at two speeds or more: torque in N·m is 9.55 times the power in W over the speed in rpm",
	"motor.power":        "a motor is told by its `rated_torque` and `rated_speed`: torque in N·m is 9.55 times the power in W over the speed in rpm",
	"target.hours":       "the time that roughing and finishing of a part may take goes into `machining_time`",
	"reading.measured":   "what the dial read goes into `read`",
	"workpiece.measured": "what a dial read goes into a reading's `read`, under `trials`",
}

// alsoCalled are the names of the spec and the catalogue by what people call the same
// thing: of several, the one counts that can stand where the word does. A %s is the
// number behind the word: of "ball rail 25", 25.
var alsoCalled = map[string][]string{
	"steel": {"mild steel"}, "s235": {"mild steel"}, "s275": {"mild steel"}, "s355": {"mild steel"}, "a36": {"mild steel"}, "st37": {"mild steel"},
	"st52": {"mild steel"}, "304": {"stainless steel"}, "316": {"stainless steel"}, "6061": {"aluminium 6000 T6"}, "6082": {"aluminium 6000 T6"},
	"aluminium": {"aluminium 6000 T6"}, "aluminum": {"aluminium 6000 T6"}, "7075": {"aluminium 7000 T6"},
	"cast iron": {"grey cast iron"}, "iron": {"grey cast iron"},

	"ball rail": {"profiled rail %s, balls"}, "roller rail": {"profiled rail %s, rollers"}, "linear rail": {"profiled rail %s, balls"},
	"profile rail": {"profiled rail %s, balls"}, "profiled rail": {"profiled rail %s, balls"}, "supported rail": {"round rail %s"},

	"work": {"workpiece"}, "reach": {"load_spread"}, "kit": {"template"}, "rung": {"cross_member"}, "rungs": {"cross_members"},
	"rung_fill": {"cross_member_fill"}, "drawn": {"outline", "extended_ratio"}, "drawn_at": {"modelled_at"}, "home": {"modelled_at"},
	"loop": {"position_loop", "closed"}, "servo": {"position_loop", "motor"}, "kv": {"gain"}, "facing": {"normal"}, "points": {"tool_direction"},
	"point": {"point_angle"}, "lead": {"cutting_edge_angle"}, "lead_angle": {"cutting_edge_angle"}, "kappa": {"cutting_edge_angle"},
	"pitch": {"lead"}, "chip_load": {"feed_per_tooth"}, "chipload": {"feed_per_tooth"}, "fz": {"feed_per_tooth"}, "slowest": {"min_speed"},
	"fastest": {"max_speed"}, "top_speed": {"max_speed"}, "max_rpm": {"max_speed"}, "rpm": {"max_speed"}, "min_rpm": {"min_speed"},
	"span": {"centre_distance"}, "center_distance": {"centre_distance"}, "trueness": {"straightness"}, "play": {"backlash"}, "lash": {"backlash"},
	"turns": {"rotating"}, "weighed": {"alternatives"}, "keys": {"shear_keys"}, "sideways": {"horizontal"}, "lateral": {"horizontal"},
	"warming": {"temperature_rise"}, "seat": {"mounting_factor"}, "pose": {"position"}, "flutes": {"teeth"}, "overhang": {"stick_out"},
	"stickout": {"stick_out"}, "bull": {"corner radius"}, "bullnose": {"corner radius"}, "bull nose": {"corner radius"}, "flat": {"end"},
	"square": {"end"}, "ballscrew": {"screw"}, "ball_screw": {"screw"},

	"heb": {"HE %s B"}, "hea": {"HE %s A"}, "hem": {"HE %s M"},
	"delrin": {"POM"}, "acetal": {"POM"}, "plexiglas": {"acrylic"}, "plexiglass": {"acrylic"}, "pmma": {"acrylic"}, "perspex": {"acrylic"},
	"pine": {"softwood"}, "spruce": {"softwood"}, "fir": {"softwood"}, "oak": {"hardwood"}, "beech": {"hardwood"}, "ash": {"hardwood"}, "maple": {"hardwood"},
	"fr4": {"glass-epoxy laminate"}, "g10": {"glass-epoxy laminate"}, "chipboard": {"particleboard"}, "hdpe": {"PE"}, "pc": {"polycarbonate"}, "pa": {"nylon"},
	"c45": {"medium carbon steel"}, "1045": {"medium carbon steel"}, "4140": {"quenched and tempered steel"}, "42crmo4": {"quenched and tempered steel"},
	"d2": {"tool steel"}, "ductile iron": {"nodular cast iron"}, "polymer concrete": {"epoxy granite"}, "grout": {"non-shrink grout"}, "sand": {"dry sand"},
	"hss": {"high-speed steel"},

	"tap_test": {"measured_modes"}, "tap_tests": {"measured_modes"}, "measured": {"measured_modes"}, "zeta": {"damping_ratio"}, "eta": {"loss_factor"},

	"part": {"workpiece"}, "stock": {"sections"}, "profiles": {"sections"}, "tools": {"cutters"}, "endmills": {"cutters"}, "bits": {"cutters"},
	"linear_rails": {"rails"}, "travels": {"envelope"}, "work_area": {"envelope"}, "materials_to_cut": {"targets"}, "tests": {"trials"},
	"blocks": {"carriages"}, "bearings": {"carriages"}, "trucks": {"carriages"}, "accel": {"acceleration"}, "rapids": {"rapid"}, "rapid_feed": {"rapid"},
	"lost_motion": {"backlash"}, "class": {"grade"}, "core_diameter": {"root"}, "minor_diameter": {"root"}, "dynamic_load": {"dynamic"}, "static_load": {"static"},
	"c": {"dynamic"}, "c0": {"static"}, "pull": {"pretension"}, "tension": {"pretension"}, "gear_ratio": {"ratio"}, "gearbox": {"reduction"},
	"rotor_inertia": {"inertia"}, "encoder": {"counts"}, "stall_torque": {"peak_torque"}, "tir": {"runout"}, "collet": {"holder"},
	"entering_angle": {"cutting_edge_angle"}, "approach_angle": {"cutting_edge_angle"}, "gauge_length": {"stick_out"}, "corner_radius": {"corner"},
	"vc": {"surface_speed"}, "cutting_speed": {"surface_speed"}, "kc11": {"specific_force"}, "kc": {"specific_force"}, "mc": {"exponent"},
	"tolerance": {"accuracy"}, "priority": {"ambition"}, "youngs_modulus": {"modulus"}, "e_modulus": {"modulus"}, "elastic_modulus": {"modulus"},
	"endmill": {"end"}, "end mill": {"end"}, "face mill": {"face"}, "shell mill": {"face"}, "ball nose": {"ball"}, "twist drill": {"drill"},
}

// otherName is the known name of what a word is another name for, "" where there is none.
func otherName(word string, known []string) string {
	word = strings.ToLower(word)
	head, number := word, ""
	if i := strings.LastIndexByte(word, ' '); i > 0 && len(alsoCalled[word]) == 0 {
		head, number = word[:i], word[i+1:]
	}
	for _, name := range alsoCalled[head] {
		if name = strings.ReplaceAll(name, "%s", number); slices.Contains(known, name) {
			return name
		}
	}
	return ""
}

// Further slips, which people make who come from other languages. In all of them what
// stands in quotes or behind // is blanked.
var (
	equals      = regexp.MustCompile(`^\s*("+|[\w$-]+)\s*(=)\s*[^=:~]*$`)
	hash        = regexp.MustCompile(`(?:^|[\s,{}\[\]])(#)(?:\s|$)`)
	curly       = regexp.MustCompile(`[“”„‘’«»‹›]`)
	hyphen      = regexp.MustCompile(`(?:^|[{,])\s*([a-zA-Z_]\w*(?:-\w+)+)\s*:`)
	digit       = regexp.MustCompile(`(?:^|[{,:])\s*([0-9]\w*[a-zA-Z_]\w*)\s*:`)
	singleQuote = regexp.MustCompile(`'[^']*'`)
)

// slipsIn finds what CUE's own parser words so that nobody finds it: values that lack
// their quotes, numbers with a decimal comma, and, in a broken text, habits from other
// languages.
func slipsIn(f schema.File, broken bool) []Diagnostic {
	var list []Diagnostic
	longText := false
	for i, line := range strings.Split(string(f.Text), "\n") {
		if fences := strings.Count(line, "\"\"\""); fences > 0 || longText {
			longText = longText != (fences%2 == 1)
			continue
		}
		// What stands in quotes or after // is blanked, so that places stay.
		line = inQuotes.ReplaceAllStringFunc(line, func(s string) string { return strings.Repeat("\"", len(s)) })
		line, _, _ = strings.Cut(line, "//")
		line = singleQuote.ReplaceAllStringFunc(line, func(s string) string { return strings.Repeat("\"", len(s)) })
		say := func(at int, format string, args ...any) {
			list = append(list, Diagnostic{Rule: RuleSyntax, At: Place{f.Name, i + 1, at + 1}, Message: fmt.Sprintf(format, args...)})
		}
		begins := map[int]bool{} // names, not values
		if broken {
			habits(line, begins, say)
		}
		for _, m := range bareUnit.FindAllStringSubmatchIndex(line, -1) {
			value, unit := line[m[2]:m[3]], line[m[4]:m[5]]
			if begins[m[2]] {
				continue
			}
			if rest := line[m[5]:]; strings.EqualFold(unit, "e") && (strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "+")) {
				continue // 3e-4 is a number
			}
			if !multiple.MatchString(unit) {
				say(m[2], "a value with its unit stands in quotes: \"%s %s\"", value, unit)
			}
		}
		for _, m := range bareComma.FindAllStringSubmatchIndex(line, -1) {
			whole, part := line[m[2]:m[3]], line[m[4]:m[5]]
			say(m[2], "the number %s,%s has a decimal comma; write %s.%s, and a value with a unit in quotes, as in \"%s.%s mm\"", whole, part, whole, part, whole, part)
		}
	}
	return list
}

// habits finds habits from other languages in a line, and where names begin with digits.
func habits(line string, names map[int]bool, say func(at int, format string, args ...any)) {
	for _, m := range equals.FindAllStringSubmatchIndex(line, -1) {
		if word := line[m[2]:m[3]]; word != "let" {
			say(m[4], "a colon stands between a name and its value, not an equals sign")
		}
	}
	for _, m := range hash.FindAllStringSubmatchIndex(line, -1) {
		say(m[2], "a comment begins with //, not with #")
	}
	if at := curly.FindStringIndex(line); at != nil {
		say(at[0], "a text stands in straight quotes, \"...\", not in the curly ones of a word processor")
	}
	if at := strings.IndexByte(line, ';'); at >= 0 {
		say(at, "no semicolon is needed here; take it out")
	}
	for _, m := range hyphen.FindAllStringSubmatchIndex(line, -1) {
		say(m[2], "a name with a hyphen stands in quotes, %q; or write %s", line[m[2]:m[3]], strings.ReplaceAll(line[m[2]:m[3]], "-", "_"))
	}
	for _, m := range digit.FindAllStringSubmatchIndex(line, -1) {
		names[m[2]] = true
		say(m[2], "a name that begins with a digit stands in quotes: %q", line[m[2]:m[3]])
	}
}
