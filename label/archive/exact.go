package archive

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
)

// An archive is what the program wrote, and nothing else: no byte before, between or behind its files, where something
// could be carried along that no audit looks at. APPNOTE.TXT of PKWARE, 4.3, describes the parts of a ZIP file.

// The parts of a ZIP file, by their signatures, and how long they are without what varies.
const (
	localSign, localSize            = 0x04034b50, 30
	descriptorSign                  = 0x08074b50
	endSign, endSize                = 0x06054b50, 22
	end64Sign, end64Size            = 0x06064b50, 56
	locatorSign, locatorSize        = 0x07064b50, 20
	centralSize                     = 46
	extendedTime, zip64      uint16 = 0x5455, 0x0001
)

// stray says where an archive has bytes that do not belong to it.
func stray(at int64) error {
	return fmt.Errorf("it has bytes that belong to none of its files, at byte %d", at)
}

// exact refuses an archive of so many bytes with bytes that do not belong to its files or to their list.
func exact(from io.ReaderAt, size int64, files []*zip.File) error {
	list, err := listAt(from, size, files)
	if err != nil {
		return err
	}
	starts := map[int64]*zip.File{} // by the first byte of their data
	for _, f := range files {
		at, err := f.DataOffset()
		if err != nil {
			return err
		}
		starts[at] = f
	}
	at := int64(0)
	for at < list {
		head := make([]byte, localSize)
		if _, err := from.ReadAt(head, at); err != nil || binary.LittleEndian.Uint32(head) != localSign {
			return stray(at)
		}
		name, extra := int64(binary.LittleEndian.Uint16(head[26:])), int64(binary.LittleEndian.Uint16(head[28:]))
		f := starts[at+localSize+name+extra]
		if f == nil {
			return stray(at)
		}
		delete(starts, at+localSize+name+extra)
		rest := make([]byte, name+extra)
		if _, err := from.ReadAt(rest, at+localSize); err != nil || string(rest[:name]) != f.Name || !plainExtra(rest[name:]) {
			return stray(at)
		}
		at += localSize + name + extra + int64(f.CompressedSize64)
		if f.Flags&8 != 0 {
			at += descriptor(from, at, f)
		}
	}
	if at != list || len(starts) > 0 {
		return stray(list)
	}
	return nil
}

// listAt is where the list of files begins. Nothing but that list is behind it.
func listAt(from io.ReaderAt, size int64, files []*zip.File) (int64, error) {
	length := int64(0)
	for _, f := range files {
		if f.Comment != "" || !plainExtra(f.Extra) {
			return 0, fmt.Errorf("its list says more about %q than an archive does", f.Name)
		}
		length += centralSize + int64(len(f.Name)+len(f.Extra))
	}
	read := func(at int64, n int) []byte {
		b := make([]byte, n)
		if at < 0 {
			return b
		}
		if _, err := from.ReadAt(b, at); err != nil {
			return make([]byte, n)
		}
		return b
	}
	end := size - endSize
	if b := read(end, endSize); binary.LittleEndian.Uint32(b) != endSign || !bytes.Equal(b[20:], []byte{0, 0}) {
		return 0, stray(end)
	}
	locator := end - locatorSize
	if binary.LittleEndian.Uint32(read(locator, 4)) == locatorSign {
		if end = locator - end64Size; binary.LittleEndian.Uint32(read(end, 4)) != end64Sign {
			return 0, stray(end)
		}
	}
	return end - length, nil
}

// plainExtra reports whether additional fields are those that the program writes: the time, and large sizes.
func plainExtra(extra []byte) bool {
	for len(extra) >= 4 {
		id, n := binary.LittleEndian.Uint16(extra), int(binary.LittleEndian.Uint16(extra[2:]))
		if n > len(extra)-4 || !(id == extendedTime && n == 5) && !(id == zip64 && n <= 28) {
			return false
		}
		extra = extra[4+n:]
	}
	return len(extra) == 0
}

// descriptor is the length of the sizes behind a file's data, where they are there.
func descriptor(from io.ReaderAt, at int64, f *zip.File) int64 {
	head := binary.LittleEndian.AppendUint32(nil, descriptorSign)
	head = binary.LittleEndian.AppendUint32(head, f.CRC32)
	short := binary.LittleEndian.AppendUint32(slices.Clone(head), uint32(f.CompressedSize64))
	short = binary.LittleEndian.AppendUint32(short, uint32(f.UncompressedSize64))
	long := binary.LittleEndian.AppendUint64(head, f.CompressedSize64)
	long = binary.LittleEndian.AppendUint64(long, f.UncompressedSize64)
	got := make([]byte, len(long))
	n, _ := from.ReadAt(got, at)
	switch {
	case bytes.HasPrefix(got[:n], long):
		return int64(len(long))
	case bytes.HasPrefix(got[:n], short):
		return int64(len(short))
	}
	return 0
}

var errPacked = errors.New("it has bytes behind the end of its packed data")

// inflater unpacks a file. It refuses one with bytes behind the end of its packed data.
func inflater(packed io.Reader) io.ReadCloser {
	from := bufio.NewReader(packed)
	return &inflating{flate.NewReader(from), from}
}

type inflating struct {
	io.ReadCloser
	from *bufio.Reader // of which the unpacking takes no byte too many
}

func (i *inflating) Read(p []byte) (int, error) {
	n, err := i.ReadCloser.Read(p)
	if err == io.EOF {
		if _, more := i.from.ReadByte(); more != io.EOF {
			return n, errPacked
		}
	}
	return n, err
}
