package render

// works writes the publications that the figures cite.
func (w *writer) works() {
	if len(w.build.Works) == 0 {
		return
	}
	w.heading(2, titleWorks)
	var lines []string
	for _, v := range w.build.Works {
		line := "- **" + plain(v.Key) + "**"
		if v.Author != "" {
			line += " " + plain(v.Author) + ","
		}
		line += " *" + plain(v.Title) + "*"
		if v.Year != "" {
			line += ", " + plain(v.Year)
		}
		lines = append(lines, sentence(line))
	}
	w.block(lines...)
}
