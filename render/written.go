package render

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"regexp"
	"slices"
	"unicode/utf16"
)

// writtenBefore names the files of a report that a tool wrote into a folder earlier. Each
// document says by what it was made; a picture is the report's where the Markdown shows
// it.
func writtenBefore(in fs.FS, tool string) (names []string) {
	for _, format := range Formats {
		for _, name := range Documents(format) {
			text, ok := regular(in, name)
			if !ok || !signed(text, format, tool) {
				continue
			}
			names = append(names, name)
			if format != "md" {
				continue
			}
			for _, m := range showsPicture.FindAllSubmatch(text, -1) {
				picture := string(m[1])
				if _, ok := regular(in, picture); ok && !slices.Contains(names, picture) {
					names = append(names, picture)
				}
			}
		}
	}
	return names
}

// showsPicture matches where the Markdown shows a picture.
var showsPicture = regexp.MustCompile(`\]\((` + figuresFolder + `/[A-Za-z0-9_.-]+\.svg)\)`)

// regular returns what a regular file holds.
func regular(in fs.FS, name string) ([]byte, bool) {
	if info, err := fs.Lstat(in, name); err != nil || !info.Mode().IsRegular() {
		return nil, false
	}
	text, err := fs.ReadFile(in, name)
	return text, err == nil
}

// signed reports whether a document says that a tool made it.
func signed(text []byte, format, tool string) bool {
	switch format {
	case "md":
		return signature("Made from spec `", "`", tool).Match(text)
	case "html":
		return signature("Made from spec <code>", "</code>", tool).Match(text)
	case "pdf":
		by := []byte("/Creator (\xfe\xff")
		for _, unit := range utf16.Encode([]rune(tool)) {
			by = append(by, byte(unit>>8), byte(unit))
		}
		return bytes.Contains(text, by)
	case "json":
		var report struct {
			Tool struct{ Name string }
		}
		return json.Unmarshal(text, &report) == nil && report.Tool.Name == tool
	case "sarif":
		var log struct {
			Runs []struct {
				Tool struct{ Driver struct{ Name string } }
			}
		}
		return json.Unmarshal(text, &log) == nil && len(log.Runs) == 1 && log.Runs[0].Tool.Driver.Name == tool
	}
	return false
}

// signature matches the last line of a document.
func signature(before, after, tool string) *regexp.Regexp {
	quote := regexp.QuoteMeta
	return regexp.MustCompile(`(?m)^(?:<p>)?` + quote(before) + `[0-9a-f]*` + quote(after) + `.* by ` + quote(tool) + `\b`)
}
