"""The published values of lexicon/limits.toml as typed rows, each with where it comes from."""

from dataclasses import dataclass
from typing import Any

from walkround.narration.lexicon import Lexicon

DEFAULT_COUNTRY = "GB"


@dataclass(frozen=True)
class Origin:
    """Where a value comes from: the source, where it holds, and as of when."""

    source: str
    jurisdiction: str
    date: str

    def words(self) -> str:
        """As it stands behind a sentence."""
        return f"{self.source}; {self.jurisdiction}; {self.date}"


@dataclass(frozen=True)
class TreadRule:
    """The legal minimum of tread of one country, mm; ``light`` ones are for small engines (up to ``light_cc``)."""

    minimum: float
    says: str
    origin: Origin
    light_cc: int | None = None
    light_minimum: float | None = None
    light_says: str | None = None


class Tables:
    """Values by name."""

    def __init__(self, lexicon: Lexicon) -> None:
        self.tree: dict[str, Any] = lexicon.trees["limits.toml"]

    @property
    def caution(self) -> str:
        """What stands beside every comparison."""
        return str(self.tree["caution"])

    def code(self, said: str) -> str:
        """The code of a country as a person writes it ("uk", "Germany"); what is unknown stays as it is."""
        upper = said.strip().upper()
        return str(self.tree["spellings"].get(upper, upper))

    def country(self, code: str) -> str | None:
        """The name of a country, or None where the code is unknown to us."""
        name = self.tree["countries"].get(code)
        return str(name) if name else None

    def tread(self, code: str) -> TreadRule | None:
        """The rule of a country; None where no sure one is kept."""
        row = self.tree["tread"].get(code)
        if row is None:
            return None
        return TreadRule(
            minimum=float(row["minimum"]), says=row["says"], origin=self.origin("tread", code),
            light_cc=row.get("light_cc"), light_minimum=row.get("light_minimum"), light_says=row.get("light_says"),
        )  # fmt: skip

    def origin(self, *path: str) -> Origin:
        """Where the values of a table come from."""
        node = self.tree
        for key in path:
            node = node[key]
        return Origin(str(node["source"]), str(node["jurisdiction"]), str(node["date"]))

    def plausible(self, quantity: str) -> tuple[str, float, float] | None:
        """Unit, least and most of a quantity that are believed without asking."""
        row = self.tree["plausible"].get(quantity)
        return (row["unit"], float(row["from"]), float(row["to"])) if row else None
