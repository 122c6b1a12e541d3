package bucket

import (
	"context"
	"errors"
	"fmt"
	"net"
	"regexp"
	"strings"

	"github.com/aws/smithy-go"
	"gocloud.dev/gcerrors"
)

// noLock is how stores say that they cannot lock a file until a day.
var noLock = regexp.MustCompile(`(?i)missing object ?lock ?configuration`)

// code is what a store says of a request that failed; "" where it said nothing.
func code(err error) string {
	var of smithy.APIError
	if errors.As(err, &of) {
		return of.ErrorCode()
	}
	return ""
}

// refused reports whether the condition of a request was not met.
func refused(err error) bool { return code(err) == "PreconditionFailed" }

// denied reports whether the credentials, or a lock, do not allow a request.
func denied(err error) bool { return code(err) == "AccessDenied" }

// busy reports whether another request about the same key was being carried out.
func busy(err error) bool {
	c := code(err)
	return c == "ConditionalRequestConflict" || c == "OperationAborted"
}

// unanswered is an error that wraps [ErrUnanswered] and does not repeat it.
type unanswered struct{ error }

func (u unanswered) Is(target error) bool { return target == ErrUnanswered }
func (u unanswered) Unwrap() error        { return u.error }

// sure reports whether a store said that it did not do what was asked for.
func sure(err error) bool {
	var of smithy.APIError
	if !errors.As(err, &of) {
		return false
	}
	var answer interface{ HTTPStatusCode() int }
	return !errors.As(err, &answer) || answer.HTTPStatusCode() < 500
}

// trouble is an error of a store in the words of a person, as one line: what to do, where that is known.
func trouble(err error) error {
	if err == nil {
		return nil
	}
	switch {
	case errors.Is(err, context.Canceled):
		return unanswered{context.Canceled}
	case errors.Is(err, context.DeadlineExceeded):
		return unanswered{errors.New("the store did not answer in time")}
	}
	switch c := code(err); c {
	case "NoSuchBucket":
		return errors.New("there is no such bucket; make it first, or correct its name")
	case "NoSuchKey", "NotFound":
		return ErrMissing
	case "PreconditionFailed":
		return ErrChanged
	case "AccessDenied", "Forbidden":
		return errors.New("access denied: the credentials in the environment do not allow that here")
	case "SignatureDoesNotMatch", "InvalidAccessKeyId", "InvalidAccessKeyID", "ExpiredToken", "InvalidToken":
		return fmt.Errorf("the store does not accept the credentials in the environment (%s); set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or AWS_PROFILE", c)
	case "NotImplemented":
		return errors.New("the store does not know conditional writes, which keep two writers apart; use one that does")
	case "ObjectParentIsFile", "ExistingObjectIsDirectory":
		return errors.New("the store has a file where a folder is needed, or the other way around; use an empty prefix")
	}
	text := short(err)
	if noLock.MatchString(text) {
		return errors.New("the bucket has no object lock; make one that has it")
	}
	var network *net.OpError
	switch {
	case errors.As(err, &network):
		return unanswered{fmt.Errorf("no connection to the store: %w", network)}
	case strings.Contains(text, "checksum did not match"):
		return ErrDamaged
	case strings.Contains(text, "get credentials") || strings.Contains(text, "refresh cached credentials"):
		return errors.New("no credentials in the environment; set AWS_ACCESS_KEY_ID and AWS_SECRET_ACCESS_KEY, or AWS_PROFILE")
	case strings.Contains(text, "Missing Region") || strings.Contains(text, "ResolveEndpointV2"):
		return errors.New("no region; add region=REGION to the address or set AWS_REGION")
	case gcerrors.Code(err) == gcerrors.NotFound:
		return ErrMissing
	}
	if !sure(err) {
		return unanswered{errors.New(text)}
	}
	return errors.New(text)
}
