"""An invented bike as a dealer would have it, the same with hostile text, and the page made from either."""

import itertools
import tomllib
from html.parser import HTMLParser
from pathlib import Path

from walkround.report.page import render_page
from walkround.report.record import (
    Chapter,
    ChecklistRow,
    Extra,
    Fact,
    Finding,
    Guess,
    Measurement,
    Media,
    Promise,
    Repaired,
    Report,
    SegmentRow,
    Spoken,
    Tool,
    TranscriptRow,
    Withdrawn,
    WordRow,
)

PARTS = {
    "headlight": "headlight",
    "front-mudguard": "front mudguard",
    "fork-leg": "fork leg",
    "front-brake-disc": "front brake disc",
    "front-brake-pads": "front brake pads",
    "front-tyre": "front tyre",
    "bar-end": "bar end",
    "clutch-lever": "clutch lever",
    "mirror": "mirror",
    "fuel-tank": "fuel tank",
    "rider-seat": "rider’s seat",
    "side-fairing": "side fairing",
    "engine-casing": "engine casing",
    "exhaust-silencer": "exhaust silencer",
    "chain": "chain",
    "rear-tyre": "rear tyre",
    "rear-wheel": "rear wheel",
    "keys": "keys",
    "service-history": "service history",
    "top-box": "top box",
}
GROUPS = {
    "front": "front of the bike",
    "controls": "controls",
    "tank-and-seat": "tank and seat",
    "bodywork": "bodywork",
    "frame-and-engine": "frame and engine",
    "rear": "rear of the bike",
    "paperwork": "paperwork and keys",
}
PLACES = tomllib.loads((Path(__file__).parents[2] / "lexicon" / "places.toml").read_text(encoding="utf-8"))
SAFETY = {part for part in PARTS if {"tyre", "brake", "brakes", "fork", "wheel", "handlebar"} & set(part.split("-"))}
DEFECTS = {
    "scratch": "scratch",
    "scuff": "scuff",
    "stone-chip": "stone chip",
    "paint-chip": "paint chip",
    "wear": "wear",
    "corrosion": "corrosion",
    "bent": "bent or twisted",
    "missing": "missing",
    "leak": "leak",
    "mark": "mark",
}


def _finding(number: int, part: str | None, defect: str, severity: str, start: float, quote: str, **more) -> Finding:
    end = more.pop("end", start + 4.0)
    return Finding(
        id=f"f{number:03}", part=part, defect=defect, severity=severity, start=start, end=end, quote=quote,
        **{"side": None, "confidence": 0.9, **more},
    )  # fmt: skip


def sample() -> Report:
    """An invented bike, as a dealer would have it. Times lie within the 12 seconds of the test video."""
    findings = [
        _finding(
            1,
            "front-mudguard",
            "stone-chip",
            "minor",
            1.25,
            "couple of little stone chips low down on the mudguard",
            extent="little",
            still="stills/a b#1.jpg",
        ),
        _finding(
            2,
            "fork-leg",
            "leak",
            "serious",
            2.5,
            "there's a bit of a weep coming off that left fork, you can see the ring of oil on it",
            side="left",
            extent="a bit of a weep",
            cause_guess="probably just stood too long",
            still="stills/fork.jpg",
            clip="clips/fork.mp4",
        ),
        _finding(
            3,
            "front-brake-disc",
            "wear",
            "moderate",
            3.4,
            "discs have got a bit of a lip on them, both sides",
            side="both",
        ),
        _finding(
            4,
            "bar-end",
            "scuff",
            "minor",
            4.1,
            "bar end's had a kiss on something, that's the right-hand one",
            side="right",
        ),
        _finding(
            5,
            "clutch-lever",
            "bent",
            "minor",
            4.6,
            "clutch leaver's ever so slightly bent, I think",
            tentative=True,
            heard_as="clutch leaver",
            confidence=0.44,
            review="“clutch leaver” is not quite the name of any part",
        ),
        _finding(
            6,
            "fuel-tank",
            "paint-chip",
            "moderate",
            5.75,
            "and then there's one here, size of a five pence piece, gone down to the metal",
            part_quote="coming up onto the tank",
            extent="size of a five pence piece",
            still="stills/tank.jpg",
        ),
        _finding(
            7,
            "engine-casing",
            "scratch",
            "minor",
            6.5,
            "two scratches on the casing there, four centimetres long",
            side="right",
            extent="four centimetres long",
        ),
        _finding(
            8,
            "engine-casing",
            "corrosion",
            "minor",
            6.5,
            "and the usual furring round the bolts",
            side="right",
        ),
        _finding(
            9,
            "rear-tyre",
            "wear",
            "serious",
            8.2,
            "the rear's squared off in the middle, that wants doing, there's two mil on it",
        ),
        _finding(10, "keys", "missing", "moderate", 10.9, "only the one key with it I'm afraid"),
    ]
    unplaced = [
        _finding(
            11,
            None,
            "mark",
            "minor",
            7.3,
            "there's a mark just there, catches the light",
            confidence=0.3,
            review="no part was named within reach of these words",
        ),
    ]

    def check(part: str, group: str, state: str, *times: float, side: str | None = None, **more) -> ChecklistRow:
        evidence = [Spoken(quote=f"words about the {PARTS[part]}", start=t, end=t + 1) for t in times]
        return ChecklistRow(part=part, side=side, group=group, state=state, evidence=evidence, **more)

    checklist = [
        check("headlight", "front", "clear", 0.6),
        check("front-mudguard", "front", "finding", 1.25),
        check("fork-leg", "front", "finding", 2.5, side="left"),
        check("fork-leg", "front", "clear", 3.0, side="right"),
        check("front-brake-disc", "front", "finding", 3.4, side="left"),
        check("front-brake-disc", "front", "finding", 3.4, side="right"),
        check("front-brake-pads", "front", "named", 3.7, 3.9),
        check("front-tyre", "front", "not-mentioned"),
        check("bar-end", "controls", "not-mentioned", side="left"),
        check("bar-end", "controls", "finding", 4.1, side="right"),
        check("clutch-lever", "controls", "finding", 4.6, review="the lever was not clearly named"),
        check("mirror", "controls", "clear", 5.0, side="left"),
        check("mirror", "controls", "clear", 5.0, side="right"),
        check("fuel-tank", "tank-and-seat", "finding", 5.75),
        check("rider-seat", "tank-and-seat", "clear", 6.1),
        check("side-fairing", "bodywork", "not-mentioned", side="left"),
        check("side-fairing", "bodywork", "clear", 6.9, side="right"),
        check("engine-casing", "frame-and-engine", "not-mentioned", side="left"),
        check("engine-casing", "frame-and-engine", "finding", 6.5, side="right"),
        check("exhaust-silencer", "frame-and-engine", "named", 7.6, side="right"),
        check("chain", "rear", "not-mentioned"),
        check("rear-tyre", "rear", "finding", 8.2),
        check("rear-wheel", "rear", "clear", 8.9),
        check("keys", "paperwork", "finding", 10.9),
        check("service-history", "paperwork", "named", 11.2),
    ]
    said = sorted([*findings, *unplaced], key=lambda f: f.start)
    segments = [
        SegmentRow(
            start=f.start,
            end=f.end,
            text=f" {f.quote}.",
            words=[
                WordRow(
                    text=" " + w,
                    start=f.start,
                    end=f.end,
                    probability=0.31 if w in ("weep", "leaver's") else 0.97,
                )
                for w in f"{f.quote}.".split()
            ],
        )
        for f in said
    ]
    return Report(
        tool=Tool(version="0.1.0", lexicon_sha256="5f" * 32),
        media=Media(
            file="garganey-640-walk.webm",
            sha256="a3" * 32,
            duration=12.0,
            width=640,
            height=360,
            rotation=0,
            recorded_at="2026-05-14T09:12:00+00:00",
        ),
        bike={
            "year": Fact(value=2019, quote="it's a twenty nineteen", start=0.2),
            "make": Fact(value="Velmoor", given=True),
            "model": Fact(value="Garganey 640", given=True),
            "plate_age": Fact(value="19", quote="on a nineteen plate", start=0.4),
            "mileage": Fact(value=24310, quote="twenty four thousand three hundred and ten", start=9.5),
            "mileage_unit": Fact(value="miles", quote="miles", start=9.9),
        },
        transcript=TranscriptRow(
            source="faster-whisper base, int8", language="en", timing="recognised", segments=segments
        ),
        findings=findings,
        unplaced=unplaced,
        checklist=checklist,
        measurements=[
            Measurement(
                part="rear-tyre",
                quantity="tread depth",
                value=2.0,
                unit="mm",
                quote="there's two mil on it",
                start=8.9,
                end=9.3,
                checked_against="1.0 mm, the legal minimum for motorcycles in Great Britain",
            ),
            Measurement(
                part="front-brake-pads",
                quantity="pad thickness",
                value=3.5,
                unit="mm",
                approximate=True,
                quote="about three and a half mil on the front pads",
                start=3.7,
                end=4.0,
            ),
            Measurement(
                part="engine-casing",
                side="right",
                quantity="length",
                value=4,
                unit="cm",
                quote="four centimetres long",
                start=6.9,
                end=7.1,
            ),
        ],
        promises=[Promise(part="rear-tyre", quote="we'll put a rear tyre on before it goes", start=9.1, end=9.4)],
        guesses=[Guess(part="fork-leg", quote="probably just stood too long", start=2.9, end=3.2)],
        included=[Extra(part="top-box", quote="you get the top box with it", start=9.3, end=9.5)],
        excluded=[Extra(quote="the sat nav mount's mine, that's coming off", start=9.6, end=9.9)],
        repaired=[
            Repaired(
                part="rear-wheel",
                defect="corrosion",
                quote="had a bit of rot on the wheel, that's been powder coated",
                start=8.9,
                end=9.2,
            )
        ],
        withdrawn=[
            Withdrawn(
                part="mirror",
                side="left",
                defect="scratch",
                quote="that's a scratch on the mirror",
                start=5.0,
                end=5.3,
                taken_back_by="no it's not, it's just dirt",
                taken_back_at=5.3,
            )
        ],
        chapters=[
            Chapter(start=0, title="Front", group="front"),
            Chapter(start=4.1, title="Controls", group="controls"),
            Chapter(start=5.75, title="Tank and right-hand side", group="tank-and-seat"),
            Chapter(start=8.2, title="Rear", group="rear"),
            Chapter(start=10.9, title="Keys and paperwork", group="paperwork"),
        ],
        warnings=["Wind noise between 7.0 s and 7.9 s: words there may be missing."],
    )


def page(report: Report, video_href: str | None = "walk.webm") -> str:
    return render_page(
        report,
        part_names=PARTS,
        group_names=GROUPS,
        defect_names=DEFECTS,
        safety_parts=SAFETY,
        video_href=video_href,
        places=PLACES,
    )


HOSTILE = (
    "<script>window.pwned=1</script> --> & &amp; \"'> <img src=x onerror=window.pwned=1> 🏍️ \u202eנזק {{ 7*7 }} {% x %}"
)
LONG = "unbroken" * 40


def hostile() -> Report:
    """The sample with hostile text in every field that takes text."""
    count = itertools.count()
    kept = {"part", "side", "group", "state", "defect", "severity", "timing"}

    def poison(value: object, key: str = "") -> object:
        if isinstance(value, dict):
            return {k: poison(v, k) for k, v in value.items()}
        if isinstance(value, list):
            return [poison(v, key) for v in value]
        if isinstance(value, str) and key not in kept:
            return f"{key}{next(count)} {HOSTILE} {LONG if key in ('quote', 'sha256', 'unit') else ''}".strip()
        return value

    return Report.model_validate(poison(sample().model_dump()))


class Seen(HTMLParser):
    """What a reader of HTML finds: elements with attributes, and the text outside style and script."""

    VOID = frozenset({"meta", "img", "input", "br", "link"})

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.raw: dict[str, list[str]] = {"style": [], "script": []}
        self.pieces: list[str] = []
        self.stack: list[str] = []
        self.feed(html)
        self.close()
        assert not self.stack, f"never closed: {self.stack}"
        self.text = "".join(self.pieces)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.stack.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.stack, f"</{tag}> closes nothing"
        assert self.stack.pop() == tag, f"</{tag}> closes the wrong element"

    def handle_data(self, data: str) -> None:
        if self.stack and self.stack[-1] in self.raw:
            self.raw[self.stack[-1]].append(data)
        else:
            self.pieces.append(data)

    def all(self, tag: str, **wanted: str) -> list[dict[str, str | None]]:
        """Attributes of the elements with this tag whose ``class`` holds the wanted class."""
        named = wanted.get("class_")
        return [a for t, a in self.elements if t == tag and (not named or named in (a.get("class") or "").split())]
