package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
)

// SARIF prints the findings in the Static Analysis Results Interchange Format,
// version 2.1.0, which editors and code-hosting sites show beside the spec's
// lines. A fail is an error there, a caution a warning.
func SARIF(b *build.Build) ([]byte, error) {
	index := map[string]int{}
	rules := []sarifRule{}
	results := []sarifResult{}
	for _, f := range b.Findings {
		i, ok := index[f.Rule]
		if !ok {
			i = len(rules)
			index[f.Rule] = i
			rules = append(rules, sarifRule{ID: f.Rule, Short: sarifText{ruleWords(f.Rule)}})
		}
		results = append(results, sarifFinding(f, i))
	}
	log := sarifLog{
		Schema:  "https://json.schemastore.org/sarif-2.1.0.json",
		Version: "2.1.0",
		Runs: []sarifRun{{
			Tool:    sarifTool{sarifDriver{Name: b.Tool.Name, Version: b.Tool.Version, Rules: rules}},
			Results: results,
		}},
	}
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(log); err != nil {
		return nil, fmt.Errorf("writing SARIF: %w", err)
	}
	return []byte(literal.Show(text.String())), nil
}

type sarifLog struct {
	Schema  string     `json:"$schema"`
	Version string     `json:"version"`
	Runs    []sarifRun `json:"runs"`
}

type sarifRun struct {
	Tool    sarifTool     `json:"tool"`
	Results []sarifResult `json:"results"`
}

type sarifTool struct {
	Driver sarifDriver `json:"driver"`
}

type sarifDriver struct {
	Name    string      `json:"name"`
	Version string      `json:"version,omitempty"`
	Rules   []sarifRule `json:"rules"`
}

type sarifRule struct {
	ID    string    `json:"id"`
	Short sarifText `json:"shortDescription"`
}

type sarifText struct {
	Text string `json:"text"`
}

type sarifResult struct {
	RuleID    string          `json:"ruleId"`
	RuleIndex int             `json:"ruleIndex"`
	Level     string          `json:"level"`
	Message   sarifText       `json:"message"`
	Locations []sarifLocation `json:"locations,omitempty"`
	Related   []sarifLocation `json:"relatedLocations,omitempty"`
}

type sarifLocation struct {
	ID       int           `json:"id,omitempty"`
	Physical sarifPhysical `json:"physicalLocation"`
	Message  *sarifText    `json:"message,omitempty"`
}

type sarifPhysical struct {
	Artifact sarifArtifact `json:"artifactLocation"`
	Region   *sarifRegion  `json:"region,omitempty"`
}

type sarifArtifact struct {
	URI string `json:"uri"`
}

type sarifRegion struct {
	StartLine   int `json:"startLine"`
	StartColumn int `json:"startColumn,omitempty"`
}

// sarifFinding words a finding: its notes stand below the sentence, and those
// with a place are related locations.
func sarifFinding(f build.Finding, rule int) sarifResult {
	r := sarifResult{RuleID: f.Rule, RuleIndex: rule, Level: sarifLevel(f.Severity)}
	message := []string{sentence(capital(f.Message))}
	if f.At.Known() {
		r.Locations = []sarifLocation{{Physical: physical(f.At)}}
	}
	for _, n := range f.Notes {
		if !n.At.Known() {
			message = append(message, sentence(capital(n.Message)))
			continue
		}
		r.Related = append(r.Related, sarifLocation{ID: len(r.Related) + 1, Physical: physical(n.At), Message: new(sarifMessage(n.Message))})
	}
	r.Message = sarifMessage(strings.Join(message, "\n"))
	return r
}

// sarifMessage is a message with no link in it: the format reads [text](address) as one
// unless its brackets are escaped.
func sarifMessage(s string) sarifText {
	if strings.Contains(s, "](") {
		s = strings.NewReplacer(`\`, `\\`, "[", `\[`, "]", `\]`).Replace(s)
	}
	return sarifText{s}
}

func physical(p build.Place) sarifPhysical {
	out := sarifPhysical{Artifact: sarifArtifact{(&url.URL{Path: strings.ReplaceAll(p.File, "\\", "/")}).String()}}
	if p.Line > 0 {
		out.Region = &sarifRegion{p.Line, p.Column}
	}
	return out
}

func sarifLevel(s build.Severity) string {
	switch s {
	case build.SeverityError, build.SeverityFail:
		return "error"
	case build.SeverityCaution:
		return "warning"
	}
	return "note"
}

// ruleWords is a rule's id as words: "Screw whip.".
func ruleWords(id string) string { return capital(strings.ReplaceAll(id, "-", " ")) + "." }
