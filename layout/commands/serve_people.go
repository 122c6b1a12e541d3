package commands

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/label/basis/serve"
)

// signing holds the flags of serve for a site where people sign in.
type signing struct {
	file, header string
	trust        []string
	private      bool
}

func (s *signing) flags(fs *pflag.FlagSet) {
	fs.StringVar(&s.file, "people", "",
		"`FILE` the people who may sign in, and their roles (see vouchmark person add); with --allow-writes, --private, or both; it replaces --passphrase-file")
	fs.BoolVar(&s.private, "private", false, "reading needs signing in too, except for the pages that scanned labels lead to; needs --people")
	fs.StringVar(&s.header, "user-header", "",
		"`NAME` the header in which a server in front names who is signed in; it replaces passwords; needs --people and --trust-proxy")
	fs.StringArrayVar(&s.trust, "trust-proxy", nil,
		"`ADDRESS[/BITS]` the address of the server in front, from which alone --user-header is believed; repeatable")
}

// people are those who may use the server; nil where nobody signs in.
func (s *serving) people(e *Env, at *net.TCPAddr, safe bool) (*serve.People, error) {
	is := &s.signing
	if is.file == "" {
		needs := errors.New("it needs --people: name the file with those who may sign in")
		switch {
		case is.private:
			return nil, wrongFlag("private", needs)
		case is.header != "":
			return nil, wrongFlag("user-header", needs)
		case is.trust != nil:
			return nil, wrongFlag("trust-proxy", errors.New("it needs --people and --user-header"))
		}
		return nil, nil
	}
	switch {
	case s.passphrase != "":
		return nil, &usageError{text: "--people and --passphrase-file exclude each other: people have passwords of their own"}
	case !s.writes && !is.private:
		return nil, &usageError{text: "--people: give --allow-writes for the forms, --private for reading, or both"}
	}
	front, err := is.front()
	if err != nil {
		return nil, err
	}
	f := &peopleFile{path: is.file, site: e.site}
	list, err := f.read()
	if err != nil {
		return nil, err
	}
	if len(list.People) == 0 {
		return nil, wrongFlag("people", fmt.Errorf("%s has nobody yet; add a person with vouchmark person add", is.file))
	}
	if alone := at.IP != nil && at.IP.IsLoopback(); front == nil && !alone && !safe {
		fmt.Fprintln(e.Stderr, "vouchmark: caution: passwords are sent unencrypted; "+
			"give --tls-cert and --tls-key, or put a server with TLS in front")
	}
	return &serve.People{Read: f.read, Private: is.private, Front: front}, nil
}

// front is the server in front that signs people in; nil for none.
func (s *signing) front() (*serve.Front, error) {
	switch {
	case s.header == "" && s.trust == nil:
		return nil, nil
	case s.header == "":
		return nil, wrongFlag("trust-proxy", errors.New("it needs --user-header: name the header in which that server names who is signed in"))
	case s.trust == nil:
		return nil, wrongFlag("user-header", errors.New("it needs --trust-proxy: without the address of the server in front, anybody could send this header"))
	case strings.Trim(s.header, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-") != "":
		return nil, wrongFlag("user-header", fmt.Errorf("found %q, expected the name of a header, such as X-Forwarded-User", s.header))
	}
	f := &serve.Front{Header: s.header}
	for _, text := range s.trust {
		p, err := prefix(text)
		if err != nil {
			return nil, wrongFlag("trust-proxy", err)
		}
		f.Trust = append(f.Trust, p)
	}
	return f, nil
}

// prefix is an address, or a network of addresses.
func prefix(text string) (netip.Prefix, error) {
	p, err := netip.ParsePrefix(text)
	if a, e := netip.ParseAddr(text); e == nil {
		a = a.Unmap().WithZone("")
		p, err = netip.PrefixFrom(a, a.BitLen()), nil
	}
	switch {
	case err != nil:
		return p, fmt.Errorf("found %q, expected an address such as 10.0.0.5, or a network such as 10.0.0.0/28", text)
	case p.Addr().Is4In6():
		return p, fmt.Errorf("found %q, expected an IPv4 network in its own form, such as 10.0.0.0/28", text)
	case p.Bits() == 0:
		return p, fmt.Errorf("found %q, which is every address: anybody could say who they are", text)
	case p != p.Masked():
		return p, fmt.Errorf("found %q, expected the network %s, or an address alone", text, p.Masked())
	}
	return p, nil
}
