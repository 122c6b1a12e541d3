package commands

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"vouchmark/label/audit"
	"vouchmark/label/record"
	"vouchmark/label/seal"
)

// KeyNew is the command of that name.
func KeyNew(fs *pflag.FlagSet) func(*Env, []string) error {
	out := fs.String("out", "", "`FILE` the new file for the private key, outside every site folder; needed")
	return func(e *Env, args []string) error {
		if *out == "" {
			return &usageError{text: "--out: name the file for the private key"}
		}
		key, err := seal.NewKey(args[0])
		if err != nil {
			return &usageError{text: err.Error()}
		}
		if err := seal.WritePrivate(*out, key.Private); err != nil {
			return err
		}
		return e.tell(map[string]string{"name": args[0], "private_file": *out, "public": key.Public},
			"%s: your private key; keep it secret, and keep a copy in a safe place\n"+
				"your public key, for vouchmark key trust:\n%s\n", *out, key.Public)
	}
}

// KeyTrust is the command of that name.
func KeyTrust(fs *pflag.FlagSet) func(*Env, []string) error {
	by := fs.String("by", "", "`NAME` who trusts the key (default: by in site.toml, else the login name)")
	return func(e *Env, args []string) error {
		if err := said("by", by, record.LongestName); err != nil {
			return err
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		comment := fmt.Sprintf("trusted by %s on %s", printer(*by, v.Site.Policy.By), e.today)
		err = e.store().Edit(seal.KeysFile, func(old []byte) ([]byte, error) { return seal.Trust(old, args[0], comment) })
		if err != nil {
			return err
		}
		return e.tell(map[string]string{"file": seal.KeysFile, "key": args[0]},
			"%s: the key is now trusted here; make sure that it came from its owner\n", seal.KeysFile)
	}
}

// Sign is the command of that name.
func Sign(fs *pflag.FlagSet) func(*Env, []string) error {
	key := fs.String("key", "", "`FILE` the file with your private key; needed")
	return func(e *Env, args []string) error {
		if *key == "" {
			return &usageError{text: "--key: name the file with your private key"}
		}
		private, err := seal.ReadPrivate(*key)
		if err != nil {
			return err
		}
		v, _, err := e.viewOf(args...)
		if err != nil {
			return err
		}
		if args[0] == seal.Ledger {
			r, err := look(os.DirFS(e.site), e.today, audit.Options{Tool: version()})
			if err != nil {
				return err
			}
			if !r.Sound() {
				return fmt.Errorf("the ledger was not signed: %s; run vouchmark audit", r.Problems[0])
			}
		}
		what, err := seal.SignInto(e.store(), v.History, args[0], private, e.today, version())
		if err != nil {
			return err
		}
		return e.tell(map[string]string{"signed": what}, "signed: %s\n", what)
	}
}
