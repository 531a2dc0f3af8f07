"""What a person says of the bike for the checklist: its kind, what it does not have, a checklist of their own."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from walkround.checklist.items import checklist_of, kinds_given, part_given, read_own_checklist
from walkround.narration.lexicon import Lexicon
from walkround.report import record as r
from walkround.report.heard import Heard

BY_HAND = "entered by hand"


@dataclass(frozen=True)
class Given:
    """``kind`` as "adventure" or "faired, electric"; parts as ids or names; ``checklist`` a TOML file."""

    kind: str | None = None
    not_fitted: tuple[str, ...] = ()
    fitted: tuple[str, ...] = ()
    checklist: Path | None = None

    @property
    def anything(self) -> bool:
        """Whether there is something to keep."""
        return bool(self.kind or self.not_fitted or self.fitted or self.checklist)

    def check(self, lexicon: Lexicon) -> None:
        """Raise WalkroundError for the first thing that is not known, before anything slow is begun."""
        self._read(lexicon)

    def put_into(self, heard: Heard, lexicon: Lexicon) -> Heard:
        """What was heard, with this kept in it. Raises WalkroundError."""
        own, kinds, lacking, having = self._read(lexicon, heard.checklist)
        given = dict(heard.given)
        if kinds:
            given["kind"] = r.Fact(value=", ".join(kinds), given=True)
        not_fitted = {part: why for part, why in heard.not_fitted.items() if part not in having}
        not_fitted |= dict.fromkeys(lacking, BY_HAND)
        return heard.model_copy(update={"given": given, "not_fitted": not_fitted, "checklist": own})

    def _read(
        self, lexicon: Lexicon, own: dict[str, Any] | None = None
    ) -> tuple[dict[str, Any] | None, tuple[str, ...], list[str], list[str]]:
        if self.checklist is not None:
            own = read_own_checklist(self.checklist, lexicon)
        checklist = checklist_of(lexicon, own)
        kinds = kinds_given(self.kind, checklist) if self.kind is not None else ()
        lacking = [part_given(text, lexicon) for text in self.not_fitted]
        return own, kinds, lacking, [part_given(text, lexicon) for text in self.fitted]
