// Package gateway runs a real S3 server for tests: github.com/versity/versitygw with its posix backend, on loopback.
package gateway

import (
	"context"
	"errors"
	"net"
	"net/http"
	"time"

	"github.com/versity/versitygw/backend/meta"
	"github.com/versity/versitygw/backend/posix"
	"github.com/versity/versitygw/embedgw"
)

// Key and Secret are the credentials that it accepts, Region is where it says that it is.
const (
	Key    = "tester"
	Secret = "secretsecret"
	Region = "us-east-1"
)

// Start starts the server, once in a process, with the folders in a folder as its buckets. The process gets that folder
// as its working folder. It gives the server's address when that answers, and ended is closed when it has ended.
func Start(ctx context.Context, buckets string) (endpoint string, ended <-chan struct{}, err error) {
	be, err := posix.New(buckets, meta.XattrMeta{}, posix.PosixOpts{})
	if err != nil {
		return "", nil, err
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", nil, err
	}
	address := l.Addr().String()
	l.Close()
	over := make(chan struct{})
	var why error
	go func() {
		defer close(over)
		why = embedgw.RunVersityGW(ctx, be, &embedgw.Config{RootUserAccess: Key, RootUserSecret: Secret, Region: Region,
			Ports: []string{address}, MaxConnections: 1000, MaxRequests: 1000, MultipartMaxParts: 10000, KeepAlive: true, Quiet: true, HealthPath: "/health"})
	}()
	for until := time.Now().Add(time.Minute); time.Now().Before(until); time.Sleep(10 * time.Millisecond) {
		if answer, err := http.Get("http://" + address + "/health"); err == nil {
			answer.Body.Close()
			return "http://" + address, over, nil
		}
		select {
		case <-over:
			return "", nil, why
		default:
		}
	}
	return "", nil, errors.New("the server does not answer")
}
