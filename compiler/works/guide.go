package works

// guideWorks are the works cited by the guide figures.
var guideWorks = []Work{
	{"ISO 14728-1", "ISO", "Rolling bearings - Linear motion rolling bearings - Part 1: Dynamic load ratings and rating life", "2017"},
	{"ISO 14728-2", "ISO", "Rolling bearings - Linear motion rolling bearings - Part 2: Static load ratings", "2017"},
	{"ISO 281", "ISO", "Rolling bearings - Dynamic load ratings and rating life", "2007"},
	{"ISO/TR 1281-2", "ISO", "Rolling bearings - Explanatory notes on ISO 281 - Part 2: Modified rating life calculation, based on a systems approach to fatigue stresses", "2008"},
}
