package serve

import (
	"context"
	"crypto/tls"
	"errors"
	"log"
	"net"
	"net/http"
	"time"
)

// goodbye is how long running answers may take once the server is stopped.
const goodbye = 10 * time.Second

// Server is an HTTP server with limits for clients that are slow, or silent, or
// send too much.
func Server(h http.Handler, errs *log.Logger) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       15 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       60 * time.Second,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          errs,
	}
}

// Run serves until ctx ends, then lets running answers finish. With a
// certificate it speaks TLS.
func Run(ctx context.Context, srv *http.Server, ln net.Listener, certificate *tls.Certificate) error {
	ended := make(chan error, 1)
	go func() {
		if certificate != nil {
			srv.TLSConfig = &tls.Config{Certificates: []tls.Certificate{*certificate}, MinVersion: tls.VersionTLS12}
			ended <- srv.ServeTLS(ln, "", "")
			return
		}
		ended <- srv.Serve(ln)
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), goodbye)
	defer cancel()
	err := srv.Shutdown(last)
	if errors.Is(err, context.DeadlineExceeded) {
		err = srv.Close() // they had their time
	}
	if e := <-ended; err == nil && !errors.Is(e, http.ErrServerClosed) {
		err = e
	}
	return err
}
