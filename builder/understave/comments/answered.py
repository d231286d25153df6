"""What has been answered: a file beside the lessons, and the teacher's own replies among the comments."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pydantic_core import PydanticCustomError

from understave.comments.reading import Comment
from understave.entries.faults import Faulty
from understave.entries.folders import shown_path
from understave.entries.schema import Shape, Text, Typed, wrong
from understave.entries.shaping import build
from understave.entries.yaml_files import read_yaml
from understave.lessons.schema import Seconds

ANSWERED_FILE = "answered.yaml"


class Answer(Shape):
    """One comment that was answered: by a ``reply`` under it, or in a question round's ``video`` ``at`` a second.

    A report of a mistake ends as a correction (``corrected``, the id of the entry or lesson that carries it) or as a
    reason why all is right (``stands``).
    """

    comment: Typed
    """The comment's id, as the CSV has it."""
    reply: Text | None = None
    """What you wrote under it."""
    video: Typed | None = None
    """The address of the video that answers it, with {seconds} where the time goes."""
    at: Seconds | None = None
    """The time in that video."""
    corrected: Text | None = None
    """The id of the entry or lesson that carries the correction."""
    stands: Text | None = None
    """Why what was reported as a mistake is right."""

    def wrongs(self) -> Iterator[PydanticCustomError]:
        """Yield what is wrong between fields."""
        if (self.reply, self.video, self.corrected, self.stands) == (None,) * 4:
            yield wrong("an answer without reply or video", "the reply, or the video and its second")
        if self.corrected is not None and self.stands is not None:
            yield wrong("a report that is both corrected and stands", "one of them", at=("stands",))
        if (self.video is None) != (self.at is None):
            yield wrong("a video without its second, or a second alone", "both video and at")
        if self.video is not None and not self.video.startswith("https://"):
            yield wrong(f"the video {self.video!r}", "an https:// address", at=("video",))


class AnsweredFile(Shape):
    """The file of what has been answered."""

    answered: tuple[Answer, ...] = ()
    """The comments that were answered."""


@dataclass
class Answered:
    """What has been answered, by the comment's id; ``replied`` leads from comments to the teacher's own below them."""

    answers: dict[str, Answer] = field(default_factory=dict)
    replied: dict[str, str] = field(default_factory=dict)
    lines: dict[str, int] = field(default_factory=dict)
    """Where in the file each answer stands."""

    def of(self, comment: Comment) -> dict[str, Any] | None:
        """Return how a comment was answered, None where it wasn't: the parts of its answer, or the reply's id."""
        answer = self.answers.get(comment.id)
        if answer is None:
            return {"reply_id": self.replied[comment.id]} if comment.id in self.replied else None
        parts = answer.model_dump(exclude={"comment"}, exclude_none=True)
        if answer.video is not None:
            parts["video"] = answer.video.replace("{seconds}", str(answer.at))
        return parts


def read_answered(path: Path) -> Answered:
    """Return what a file of answers says; one that isn't there says nothing. Raises Faulty."""
    if not path.exists():
        return Answered()
    document = read_yaml(path, shown_path(path))
    file = build(AnsweredFile, document)
    if file is None:
        raise Faulty(document.faults)
    answers: dict[str, Answer] = {}
    lines: dict[str, int] = {}
    for index, answer in enumerate(file.answered):
        if answer.comment in answers:
            found = f"the comment {answer.comment!r} a second time"
            raise Faulty([document.fault(("answered", index, "comment"), found, "each comment once")])
        answers[answer.comment] = answer
        lines[answer.comment] = document.marks[("answered", index)][0]
    return Answered(answers, lines=lines)


def replied_to(comments: Iterable[object]) -> dict[str, str]:
    """Return the ids of comments that the teacher has replied to below them, with the replies' ids."""
    return {
        comment.parent: comment.id
        for comment in comments
        if isinstance(comment, Comment) and comment.by_me and comment.parent
    }
