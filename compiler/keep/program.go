package keep

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"os"
	"runtime/debug"
	"time"
)

// headLength is how much of a program's file is searched for its build id, which linkers write near the beginning.
const headLength = 64 << 10

// program is what tells this build of the program from all others: the build id, which the
// linker makes of all that goes into it, and what it says of itself. So no build reads
// what another one computed, whatever was changed between the two. Nil where it has no build id.
func program() []byte {
	id := buildID(head())
	if id == nil {
		return nil
	}
	if info, ok := debug.ReadBuildInfo(); ok { // of what runs, where its file has been replaced since
		id = append(append(id, 0), info.String()...)
	}
	return id
}

// head is the beginning of this program's file.
func head() []byte {
	file, err := os.Open("/proc/self/exe") // what runs, even where its file has been replaced
	if err != nil {
		if file, err = started(); err != nil {
			return nil
		}
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, headLength))
	if err != nil {
		return nil
	}
	return text
}

// began is when this process did, nearly.
var began = time.Now()

// started opens this program's file where it is no other than it was when the process began: one written since may be another build's.
func started() (*os.File, error) {
	name, err := os.Executable()
	if err != nil {
		return nil, err
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	if info, err := file.Stat(); err != nil || !info.ModTime().Before(began) {
		file.Close()
		return nil, errors.New("keep: the program's file was written since it was started")
	}
	return file, nil
}

// The marks beside a build id: of a note in an ELF file, with its length before, and of text at the beginning of the code elsewhere.
var (
	noteMark = []byte("\x04\x00\x00\x00Go\x00\x00") // the type of the note and its owner
	textMark = []byte("\xff Go build ID: \"")
)

// buildID finds the build id in the beginning of a program; nil where there is none.
func buildID(head []byte) []byte {
	if at := bytes.Index(head, noteMark); at >= 4 {
		length := binary.LittleEndian.Uint32(head[at-4:])
		if rest := head[at+len(noteMark):]; length > 0 && uint64(length) <= uint64(len(rest)) {
			return bytes.Clone(rest[:length])
		}
	}
	if _, rest, ok := bytes.Cut(head, textMark); ok {
		if id, _, ok := bytes.Cut(rest, []byte("\"")); ok && len(id) > 0 {
			return bytes.Clone(id)
		}
	}
	return nil
}
