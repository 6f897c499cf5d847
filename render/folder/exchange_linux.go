package folder

import (
	"errors"

	"golang.org/x/sys/unix"
)

// exchangeFolders exchanges two folders in one step.
func exchangeFolders(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	switch err {
	case unix.EINVAL, unix.ENOSYS, unix.EXDEV, unix.EBUSY, unix.EPERM, unix.EACCES: // not on this file system, or the folder is mounted
		return errors.ErrUnsupported
	}
	return err
}
