//go:build unix

package folder

import (
	"io/fs"
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// tryLock locks a folder against other runs. The lock ends with the run, and leaves
// nothing behind.
func tryLock(dir string) (unlock func(), err error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		f.Close()
		if err == unix.EWOULDBLOCK {
			return nil, errHeld
		}
		return nil, err
	}
	return func() { f.Close() }, nil
}

// writable is an error where a folder cannot be written.
func writable(dir string) error { return unix.Access(dir, unix.W_OK|unix.X_OK) }

// own reports whether a folder is of the user who runs this.
func own(info fs.FileInfo) bool {
	s, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(s.Uid) == os.Geteuid()
}

// alike gives a new folder the rights and the owner of another one.
func alike(dir string, info fs.FileInfo) error {
	if want, ok := info.Sys().(*syscall.Stat_t); ok {
		now, err := os.Lstat(dir)
		if err != nil {
			return err
		}
		if has, ok := now.Sys().(*syscall.Stat_t); ok && (has.Uid != want.Uid || has.Gid != want.Gid) {
			if err := os.Chown(dir, int(want.Uid), int(want.Gid)); err != nil {
				return err
			}
		}
	}
	return os.Chmod(dir, info.Mode()&(fs.ModePerm|fs.ModeSetuid|fs.ModeSetgid|fs.ModeSticky))
}
