"""python -m kitchenlib.teaching.hub.collect FOLDER: as root, copies each student's answer files to FOLDER/NAME/, where `mark` reads them.

Each home is read as its student, not as root: what lies there is the student's to choose, and a link leads to nothing that is not his.
"""
import argparse
import contextlib
import grp
import os
import pwd
import sys
from pathlib import Path

from .. import commands
from ..answers import LARGEST


@contextlib.contextmanager
def being(user):
    """Have no more rights than that user (a pwd entry) for a while."""
    groups = os.getgroups()
    os.setgroups([])
    os.setegid(user.pw_gid)
    os.seteuid(user.pw_uid)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
        os.setgroups(groups)


def files(user):
    """{name: bytes} of the user's answer files, cut behind the largest that `mark` reads."""
    found = {}
    with being(user):
        for path in sorted(Path(user.pw_dir, "kitchen-lessons").glob("answers-*.csv")):
            with contextlib.suppress(OSError), open(os.open(path, os.O_RDONLY | os.O_NONBLOCK), "rb") as file:     # a pipe does not hold us up
                found[path.name] = file.read(LARGEST + 1) or b""
    return found


def main(arguments):
    """Collect -> exit code: 0, or 2 where it could not be done."""
    parser = argparse.ArgumentParser("python -m kitchenlib.teaching.hub.collect", description="As root: copy each student's answer files to "
                                     "FOLDER/NAME/. Then: python -m kitchenlib mark FOLDER --class CODE")
    parser.add_argument("folder", type=Path, help="where to; an older collection there is brought up to date")
    parser.add_argument("--group", default="kitchen", help="the system group that the students are in (kitchen)")
    chosen = parser.parse_args(arguments)
    try:
        if os.geteuid() != 0:
            raise PermissionError("Only root may read the students' folders: become root and call again.")
        try:
            names = sorted(grp.getgrnam(chosen.group).gr_mem)
        except KeyError:
            raise LookupError(f"There is no system group {chosen.group!r}: name the students' one with --group.") from None
        chosen.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for name in names:
            found = files(pwd.getpwnam(name))
            (chosen.folder / name).mkdir(mode=0o700, exist_ok=True)
            for file, data in found.items():
                (chosen.folder / name / file).write_bytes(data)
            print(f"{name}: {len(found)} answer file{'' if len(found) == 1 else 's'}")
    except (OSError, LookupError) as error:
        print(commands.sentence(error), file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
