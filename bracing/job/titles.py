"""What the title block of a drawing says of its job: who builds, under which permit, and what changed when."""

from __future__ import annotations

from attrs import frozen

from bracing.job.fields import declared

MOST_REVISIONS = 12


@frozen
class Revision:
    """One revision of the drawings, as its title block lists it.

    Attributes:
        mark: its number or letter.
        date: its date.
        what: what changed.
    """

    mark: str = declared("name", "its number or letter, such as B")
    date: str = declared("name", "its date, as it is to be printed", default="")
    what: str = declared("name", "what changed", default="")


@frozen
class TitleBlock:
    """What a title block says of a job. No number of a wall depends on it; what nobody gave stays a blank line.

    Attributes:
        name: what the job is called.
        address: where it is.
        permit: number of its building permit.
        builder: who builds it.
        revision: the revision that is issued.
        date: its date, as it is to be printed.
        issued_for: what it is issued for.
        drawn: by whom it was drawn.
        checked: by whom it was checked.
        revisions: the revisions so far.
    """

    name: str = declared("name", "what the job is called", default="")
    address: str = declared("name", "where it is", default="")
    permit: str = declared("name", "number of its building permit", default="")
    builder: str = declared("name", "who builds it", default="")
    revision: str = declared("name", "the revision issued, such as B", default="")
    date: str = declared("name", "its date, as it is to be printed", default="")
    issued_for: str = declared("name", "what it is issued for, such as site use", default="")
    drawn: str = declared("name", "who drew it", default="")
    checked: str = declared("name", "who checked it", default="")
    revisions: tuple[Revision, ...] = declared(
        "parts", "revisions so far, with what changed", key="change", default=(), most=MOST_REVISIONS
    )

    @property
    def rows(self) -> tuple[tuple[str, str], ...]:
        """What each line of a title block is called, and what it says; empty where nobody gave it."""
        return (
            ("job", self.name), ("address", self.address), ("permit", self.permit), ("builder", self.builder),
            ("issued for", self.issued_for), ("revision", " ".join(filter(None, (self.revision, self.date)))),
            ("drawn", self.drawn), ("checked", self.checked),
        )  # fmt: skip

    @property
    def changes(self) -> tuple[str, ...]:
        """The revisions so far, a line each."""
        return tuple(" ".join(filter(None, (one.mark, one.date, one.what))) for one in self.revisions)
