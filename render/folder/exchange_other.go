//go:build !linux

package folder

import "errors"

// exchangeFolders is not known to work here.
func exchangeFolders(string, string) error { return errors.ErrUnsupported }
