"""Errors of the disk explained in plain words, with what helps."""

from __future__ import annotations

import errno

_FULL = "the disk is full, or holds as many files as it can", "make room on it, then run the command again"
_CLOSED = (
    "it may not be written",
    "close it in other programs, see that all in the folder belongs to you and is not locked, run the command again",
)
_OTHER_KIND = "something else stands in its place", "move it away or give it another name, then run the command again"
_REASONS = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EACCES: _CLOSED,
    errno.EPERM: _CLOSED,
    errno.EROFS: (
        "the disk or the folder is read-only",
        "allow writing to it, or copy content/ and themes/ to a place that you may write, and work there",
    ),
    **dict.fromkeys((errno.EEXIST, errno.ENOTDIR, errno.EISDIR, errno.ENOTEMPTY), _OTHER_KIND),
    errno.EBUSY: (
        "it is in use",
        "wait until that build is done, or end it (`look` builds too); a disk that is mounted there, mount elsewhere",
    ),
    errno.ENAMETOOLONG: ("its name is too long", "choose a shorter name"),
}
_OTHERWISE = "it failed", "see that the disk has room and is well, and that you may write there, then try again"


def reason_of(fault: OSError) -> tuple[str, str]:
    """Give why something could not be written, and what mends it."""
    why, mend = _REASONS.get(fault.errno or 0, _OTHERWISE)
    return f"{why} ({fault.strerror})", mend
