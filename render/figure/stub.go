package figure
import "ironbed/compiler/build"
func layoutBars(s *sheet, d build.Bars) {}
func layoutChart(s *sheet, d build.Chart) {}
func layoutSections(s *sheet, d build.Sections) {}
