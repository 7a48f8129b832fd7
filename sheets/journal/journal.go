// Package journal keeps the edits of a job safe until the job is saved. A journal is a file beside the job, to which
// each edit is written, and synced, before it is confirmed to the person at work. After a crash it is read back, and the
// edits are applied again to the texts from which they began.
//
// # Format
//
// A journal is a text file. Its first line is
//
//	castwright journal 1
//
// with the version of the format. Each further line is a record: a checksum (CRC-32C, RFC 3720, of the JSON, eight hex
// digits), the length of the JSON in bytes, and the JSON (RFC 8259), with one blank between:
//
//	a8d84dc0 52 {"record":0,"bases":[{"sheet":"bench","digest":""}]}
//
// Record 0 holds the sheets as they were when the journal began, each with the SHA-256 (FIPS 180-4) of its text; each
// record after it holds one edit. So an edit that touches several sheets is kept whole or not at all. A record is whole
// only if its checksum, its length and its line end are right. A file that ends in anything but whole records has a
// torn end, as a crash leaves it, unless a whole record follows further on: then the journal is damaged.
package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"unicode/utf8"
)

// Entry is one replacement in the text of a sheet: Is is put in the place of Was, which stands at byte At of the text
// that all entries before it have made.
type Entry struct {
	Sheet string `json:"sheet"`
	At    int    `json:"at"`
	Was   string `json:"was"`
	Is    string `json:"is"`
	Step  int    `json:"step"` // the entries of one edit have the same number
}

// Base is the text of a sheet as it was on disk when the journal began, by its digest. The digest of a sheet that did
// not exist is empty, or there is no Base for it; such a sheet begins as an empty text.
type Base struct {
	Sheet  string `json:"sheet"`
	Digest string `json:"digest"`
}

// Digest is the digest of a text, as a Base holds it.
func Digest(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// written is an entry as it stands in the file. JSON knows only text in UTF-8, and would silently put a mark in the
// place of other bytes; but a piece of a text may begin in the middle of a letter. Such a piece is kept as bytes.
type written struct {
	Sheet    string  `json:"sheet"`
	At       int     `json:"at"`
	Was      *string `json:"was,omitempty"`
	WasBytes []byte  `json:"was_bytes,omitempty"` // base64
	Is       *string `json:"is,omitempty"`
	IsBytes  []byte  `json:"is_bytes,omitempty"` // base64
	Step     int     `json:"step"`
}

// MarshalJSON writes an entry so that every byte of its texts is kept.
func (e Entry) MarshalJSON() ([]byte, error) {
	w := written{Sheet: e.Sheet, At: e.At, Step: e.Step}
	w.Was, w.WasBytes = textOrBytes(e.Was)
	w.Is, w.IsBytes = textOrBytes(e.Is)
	return plainJSON(w)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (e *Entry) UnmarshalJSON(data []byte) error {
	var w written
	if err := strictJSON(data, &w); err != nil {
		return err
	}
	*e = Entry{Sheet: w.Sheet, At: w.At, Was: string(w.WasBytes), Is: string(w.IsBytes), Step: w.Step}
	if w.Was != nil {
		e.Was = *w.Was
	}
	if w.Is != nil {
		e.Is = *w.Is
	}
	return nil
}

func textOrBytes(s string) (*string, []byte) {
	if utf8.ValidString(s) {
		return &s, nil
	}
	return nil, []byte(s)
}

// plainJSON writes JSON in which `<`, `>` and `&` stand as they are, so that a journal can be read by eye.
func plainJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}

// strictJSON reads JSON that holds nothing but what is expected.
func strictJSON(data []byte, v any) error {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	return d.Decode(v)
}
