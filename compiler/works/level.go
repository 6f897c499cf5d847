package works

// levelWorks are the works cited by the figures of a levelling pour.
var levelWorks = []Work{
	{Key: "Oron Davis Bankoff 1997", Author: "A. Oron, S. H. Davis and S. G. Bankoff",
		Title: "Long-scale evolution of thin liquid films, Reviews of Modern Physics 69(3), 931-980", Year: "1997"},
	{Key: "de Gennes 2004", Author: "P.-G. de Gennes, F. Brochard-Wyart and D. Quéré",
		Title: "Capillarity and Wetting Phenomena: Drops, Bubbles, Pearls, Waves", Year: "2004"},
}
