package works

// cuttingWorks are the works cited by the cutting figures.
var cuttingWorks = []Work{
	{Key: "Altintas 2012", Author: "Y. Altintas",
		Title: "Manufacturing Automation: Metal Cutting Mechanics, Machine Tool Vibrations, and CNC Design", Year: "2012, 2nd edition"},
	{Key: "Dietrich Tschaetsch 2014", Author: "J. Dietrich and H. Tschätsch",
		Title: "Praxis der Zerspantechnik", Year: "2014, 11th edition"},
	{Key: "Duan 2021", Author: "Z. Duan, C. Li, W. Ding and others",
		Title: "Milling Force Model for Aviation Aluminum Alloy: Academic Insight and Perspective Analysis, Chinese Journal of Mechanical Engineering 34", Year: "2021"},
	{Key: "Engin Altintas 2001", Author: "S. Engin and Y. Altintas",
		Title: "Mechanics and Dynamics of General Milling Cutters, Part I: Helical End Mills, International Journal of Machine Tools and Manufacture 41", Year: "2001"},
	{Key: "ISO 3002-3", Author: "ISO",
		Title: "Basic quantities in cutting and grinding, Part 3: Geometric and kinematic quantities in cutting", Year: "1984"},
	{Key: "Kienzle 1957", Author: "O. Kienzle and H. Victor",
		Title: "Spezifische Schnittkräfte bei der Metallbearbeitung, Werkstattstechnik und Maschinenbau 47", Year: "1957"},
	{Key: "Kline 1982", Author: "W. A. Kline, R. E. DeVor and I. A. Shareef",
		Title: "The Prediction of Surface Accuracy in End Milling, Journal of Engineering for Industry 104", Year: "1982"},
	{Key: "Kline 1983", Author: "W. A. Kline and R. E. DeVor",
		Title: "The Effect of Runout on Cutting Geometry and Forces in End Milling, International Journal of Machine Tool Design and Research 23", Year: "1983"},
	{Key: "Kops 1990", Author: "L. Kops and D. T. Vo",
		Title: "Determination of the Equivalent Diameter of an End Mill Based on its Compliance, CIRP Annals 39", Year: "1990"},
	{Key: "Lee Altintas 1996", Author: "P. Lee and Y. Altıntaş",
		Title: "Prediction of Ball-End Milling Forces from Orthogonal Cutting Data, International Journal of Machine Tools and Manufacture 36", Year: "1996"},
	{Key: "Palubicki 2021", Author: "B. Pałubicki",
		Title: "Cutting Forces in Peripheral Up-Milling of Particleboard, Materials 14", Year: "2021"},
	{Key: "VDI 3323", Author: "VDI",
		Title: "Material groups for hard cutting materials, as printed in tables of specific cutting force (2017) and of starting values for solid end mills (2022)", Year: "edition not checked"},
}
