package works

// chatterWorks are the works cited by the chatter figures.
var chatterWorks = []Work{
	{Key: "Altintas Budak 1995", Author: "Y. Altintas and E. Budak", Title: "Analytical prediction of stability lobes in milling, CIRP Annals 44(1), 357-362", Year: "1995"},
}
