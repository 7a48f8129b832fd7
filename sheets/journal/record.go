package journal

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"strconv"
)

const (
	// title begins the first line of every journal, of this version or another.
	title = "castwright journal "

	// version is the only version of the format so far.
	version = 1

	// maxTries bounds how many beginnings of a record are tried in one damaged line. Two lines run together have one.
	maxTries = 16
)

// head is the first line.
var head = []byte(title + strconv.Itoa(version) + "\n")

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// record is a line of the journal after the first. The number tells when a whole line was taken out.
type record struct {
	Number int     `json:"record"`
	Bases  []Base  `json:"bases,omitempty"`
	Edit   []Entry `json:"edit,omitempty"`
}

// line is the record as it stands in the file.
func (r record) line() ([]byte, error) {
	text, err := plainJSON(r)
	if err != nil {
		return nil, err
	}
	return append(append(prefix(text), text...), '\n'), nil
}

// prefix is what stands before the JSON of a record.
func prefix(text []byte) []byte {
	return fmt.Appendf(nil, "%08x %d ", crc32.Checksum(text, castagnoli), len(text))
}

// nextRecord gives the JSON of the whole record that data begins with, and the length of its line; the length is 0 where
// there is none.
func nextRecord(data []byte) (text []byte, length int) {
	end := bytes.IndexByte(data, '\n')
	if end < 0 {
		return nil, 0
	}
	begin := headerEnd(data[:end])
	if begin == 0 || !bytes.HasPrefix(data, prefix(data[begin:end])) {
		return nil, 0
	}
	return data[begin:end], end + 1
}

// headerEnd finds the end of the `checksum length ` that a line begins with, where the length is that of the rest of
// the line; 0 where it begins otherwise.
func headerEnd(line []byte) int {
	const hex = 8
	if len(line) < hex+len(" 1 ") || line[hex] != ' ' {
		return 0
	}
	for _, c := range line[:hex] {
		if (c < '0' || c > '9') && (c < 'a' || c > 'f') {
			return 0
		}
	}
	n := 0
	for i, c := range line[hex+1:] {
		begin := hex + 1 + i + 1
		switch {
		case c == ' ' && i > 0 && n == len(line)-begin:
			return begin
		case c < '0' || c > '9' || n > len(line):
			return 0
		}
		n = 10*n + int(c-'0')
	}
	return 0
}

// holdsRecord tells whether a whole record stands anywhere in data, also in the middle of a line: the damage may have
// taken the end of the line before it.
func holdsRecord(data []byte) bool {
	for len(data) > 0 {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			return false
		}
		tries := 0
		for i := 0; i < end && tries < maxTries; i++ {
			if headerEnd(data[i:end]) == 0 {
				continue
			}
			tries++
			if _, n := nextRecord(data[i : end+1]); n > 0 {
				return true
			}
		}
		data = data[end+1:]
	}
	return false
}
