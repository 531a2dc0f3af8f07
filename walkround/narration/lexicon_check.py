"""Checks on lexicon files: every fault is one sentence with the file and the line."""

import dataclasses
import re
from collections.abc import Iterator
from pathlib import Path

from walkround.errors import LexiconError, shown
from walkround.narration.lexicon import GROUPS, NO_FAMILIES, Defect, Family, Lexicon, Part, Tree

Sources = dict[str, list[tuple[Path, str]]]
_SCHEMA = {"parts.toml": Part, "families.toml": Family, "defects.toml": Defect}
_REQUIRED = {
    "parts.toml": ("name", "group", "forms"),
    "families.toml": ("forms", "members"),
    "defects.toml": ("name", "severity", "forms"),
}
#: Files whose tables hold the keys that the reading asks for: another key would do nothing.
_FIXED_KEYS = {"phrases.toml", "sides.toml", "measures.toml"}
_SPECIAL = {*NO_FAMILIES, "severity", "absence", "own_part", "akin"}


def line_of(text: str, needle: str, table: str | None = None) -> int:
    """The 1-based line where ``needle`` stands as a quoted string or a key, inside a table if given; 0 if nowhere."""
    inside = table is None
    for number, line in enumerate(text.splitlines(), 1):
        header = re.match(r"\s*\[+\s*\"?([^\]\"]+)\"?\s*\]+", line)
        if header and table is not None:
            inside = header[1] == table or header[1].startswith(f"{table}.")
            if inside and (needle == table or header[1] == f"{table}.{needle}"):
                return number
        if inside and (
            f'"{needle}"' in line or f"'{needle}'" in line or re.match(rf"\s*\"?{re.escape(needle)}\"?\s*=", line)
        ):
            return number
    return 0


def lay_over(base: Tree, extra: Tree, path: Path, text: str) -> None:
    """Add a dealer's words to ours, in place: lists grow, tables are merged, other values are replaced.

    Raises LexiconError for a table that ours does not have: ids are fixed, so that reports stay comparable.
    """
    if path.name == "checklist.toml":  # its own room checks it: items may be added, and a list replaces ours
        base.update(lay_over_values(base, extra))
        return
    for key, value in extra.items():
        if path.name != "sounds.toml" and key not in base:
            raise LexiconError(
                f"{shown(path)} line {line_of(text, key, key)}: unknown id '{key}'; use an id of our {path.name}."
            )
        _merge(base, key, value, path, text)


def lay_over_values(base: Tree, extra: Tree) -> Tree:
    """A tree with another's values in place of its own, table by table."""
    merged = dict(base)
    for key, value in extra.items():
        old = merged.get(key)
        merged[key] = lay_over_values(old, value) if isinstance(old, dict) and isinstance(value, dict) else value
    return merged


def _merge(base: Tree, key: str, value: object, path: Path, text: str) -> None:
    old = base.get(key)
    if isinstance(old, dict) and isinstance(value, dict):
        for inner, item in value.items():
            if path.name in _FIXED_KEYS and inner not in old:
                raise LexiconError(
                    f"{shown(path)} line {line_of(text, inner)}: unknown key '{inner}' in [{key}]; "
                    f"use {', '.join(sorted(old))}."
                )
            _merge(old, inner, item, path, text)
    elif isinstance(old, list) and isinstance(value, list):
        base[key] = old + [item for item in value if item not in old]
    elif old is not None and type(old) is not type(value):
        raise LexiconError(
            f"{shown(path)} line {line_of(text, key)}: '{key}' must be a {type(old).__name__}, as in our file."
        )
    else:
        base[key] = value


def check(lexicon: Lexicon, sources: Sources) -> None:
    """Raise LexiconError for the first fault: wrong keys, unknown ids, a form with two meanings."""
    for name, schema in _SCHEMA.items():
        _check_keys(lexicon.trees[name], name, schema, sources)
    _check_ids(lexicon, sources)
    _check_patterns(lexicon, sources)
    _check_forms(lexicon, sources)


def _fault(sources: Sources, name: str, needle: str, table: str | None, message: str) -> LexiconError:
    for path, text in reversed(sources[name]):
        line = line_of(text, needle, table)
        if line:
            return LexiconError(f"{shown(path)} line {line}: {message}")
    return LexiconError(f"{shown(sources[name][-1][0])} line 1: {message}")


def _check_keys(tree: Tree, name: str, schema: type, sources: Sources) -> None:
    allowed = {f.name for f in dataclasses.fields(schema)} - {"id"}
    for key, table in tree.items():
        if key in _SPECIAL:
            continue
        for field in table:
            if field not in allowed:
                raise _fault(sources, name, field, key, f"unknown key '{field}'; use {', '.join(sorted(allowed))}.")
        for field in _REQUIRED[name]:
            if field not in table:
                raise _fault(sources, name, key, key, f"'{key}' has no '{field}'; add it.")
        for field in dataclasses.fields(schema):
            if field.name in table:
                _check_value(table[field.name], str(field.type), field.name, key, name, sources)
        for rule in table.get("becomes", []):
            lacks = [wanted for wanted in ("forms", "parts", "defect") if wanted not in rule]
            if lacks:
                message = f"a 'becomes' rule of '{key}' lacks {' and '.join(lacks)}; add them."
                raise _fault(sources, name, "becomes", key, message)


def _check_value(value: object, kind: str, field: str, key: str, name: str, sources: Sources) -> None:
    """Whether a value is what the field's type asks for: text, a list of texts, yes or no."""
    if "tuple[str" in kind:
        if not isinstance(value, list):
            raise _fault(sources, name, field, key, f"'{field}' of '{key}' is not a list; write [\"...\"].")
        if not all(isinstance(item, str) and item.strip() for item in value):
            raise _fault(sources, name, field, key, f"a form of '{key}' is not text; write it in quotes.")
    elif kind.startswith("bool") and not isinstance(value, bool):
        raise _fault(sources, name, field, key, f"'{field}' of '{key}' must be true or false.")
    elif kind.startswith("str") and not isinstance(value, str):
        raise _fault(sources, name, field, key, f"'{field}' of '{key}' is not text; write it in quotes.")


def _check_ids(lexicon: Lexicon, sources: Sources) -> None:
    for part in lexicon.parts.values():
        if part.group not in GROUPS:
            message = f"unknown group '{part.group}'; use one of {', '.join(GROUPS)}."
            raise _fault(sources, "parts.toml", "group", part.id, message)
    for piece, holders in lexicon.trees["families.toml"]["piece_of"].items():
        for part_id in holders:
            if part_id not in lexicon.parts:
                raise _fault(sources, "families.toml", part_id, "piece_of", f"'{piece}': unknown part '{part_id}'.")
    named = [part_id for parts in lexicon.next_to.values() for part_id in parts]
    for part_id in (*named, *lexicon.surface_of, *lexicon.surface_of.values(), *lexicon.placed):
        if part_id not in lexicon.parts:
            raise _fault(sources, "families.toml", part_id, None, f"unknown part '{part_id}'.")
    for word, parts in lexicon.near.items():
        for part_id in [*parts, *(seen for group in parts.values() for seen in group)]:
            if part_id not in lexicon.parts:
                raise _fault(sources, "families.toml", part_id, "near", f"'{word}': unknown part '{part_id}'.")
    for family in lexicon.families.values():
        for member in [*family.members.values(), *family.when.values()]:
            if member not in lexicon.parts:
                raise _fault(sources, "families.toml", member, family.id, f"unknown part '{member}'.")
    for defect in lexicon.defects.values():
        if defect.severity not in ("minor", "moderate", "serious"):
            message = f"unknown severity '{defect.severity}'; use minor, moderate or serious."
            raise _fault(sources, "defects.toml", "severity", defect.id, message)
        for part_id in (*defect.fits, *defect.never, *([defect.default_part] if defect.default_part else [])):
            if part_id not in lexicon.parts:
                raise _fault(sources, "defects.toml", part_id, defect.id, f"unknown part '{part_id}'.")
        for rule in defect.becomes:
            for part_id in rule["parts"]:
                if part_id not in lexicon.parts:
                    raise _fault(sources, "defects.toml", part_id, defect.id, f"unknown part '{part_id}'.")
            if rule["defect"] not in lexicon.defects:
                raise _fault(sources, "defects.toml", rule["defect"], defect.id, f"unknown defect '{rule['defect']}'.")
    for where, wanted in (
        ("good.of_part", lexicon.parts),
        ("good.left_to", lexicon.parts),
        ("good.of_only", lexicon.parts),
        ("good.denied", lexicon.defects),
    ):
        table = lexicon.trees["phrases.toml"]["good"][where.split(".")[1]]
        for key in table:
            if key not in wanted:
                raise _fault(sources, "phrases.toml", key, where, f"unknown id '{key}'.")


def _check_patterns(lexicon: Lexicon, sources: Sources) -> None:
    """Families of fault words: known faults, parts and classes of words, and keys that the reading asks for."""
    tree = lexicon.trees["patterns.toml"]
    groups, classes = tree.get("parts", {}), tree.get("words", {})
    for name, entry in tree.get("family", {}).items():
        where = f"family.{name}"
        for key in set(entry) - {"defect", "say", "of", "only", "severity", "wins", "part"}:
            raise _fault(sources, "patterns.toml", key, where, f"unknown key '{key}' in [{where}].")
        for key in {"defect", "say"} - set(entry):
            raise _fault(sources, "patterns.toml", where, None, f"[{where}] has no '{key}'; add it.")
        for defect in (entry["defect"], *entry.get("of", {})):
            if defect not in lexicon.defects:
                raise _fault(sources, "patterns.toml", defect, where, f"unknown defect '{defect}'.")
        named = [
            *entry.get("only", []),
            *filter(None, [entry.get("part")]),
            *(part for found in entry.get("of", {}).values() for part in found),
        ]
        for part in [p for name in named for p in groups.get(name, [name])]:
            if part not in lexicon.parts:
                raise _fault(sources, "patterns.toml", part, None, f"unknown part '{part}'.")
        _check_classes(entry["say"], classes, sources)
    for name, entry in tree.get("praise", {}).items():
        where = f"praise.{name}"
        for key in [*(set(entry) - {"say", "only", "next", "denied", "wins"}), *({"say"} - set(entry))]:
            raise _fault(
                sources,
                "patterns.toml",
                key,
                where,
                f"[{where}] needs 'say' and may have 'only', 'next', 'denied' and 'wins': see '{key}'.",
            )
        for part in [p for group in entry.get("only", []) for p in groups.get(group, [group])]:
            if part not in lexicon.parts:
                raise _fault(sources, "patterns.toml", part, where, f"unknown part '{part}'.")
        if entry.get("denied", "mark") not in lexicon.defects:
            raise _fault(sources, "patterns.toml", entry["denied"], where, f"unknown defect '{entry['denied']}'.")
        _check_classes(entry["say"], classes, sources)


def _check_classes(patterns: list[str], classes: Tree, sources: Sources) -> None:
    """Every class of words that a pattern uses is there."""
    for used in {word for pattern in patterns for word in re.findall(r"{([^{}]*)}", pattern)} - set(classes):
        raise _fault(sources, "patterns.toml", "{" + used + "}", None, f"unknown class of words '{used}'.")


def _forms(lexicon: Lexicon) -> Iterator[tuple[str, str, str, str]]:
    for part in lexicon.parts.values():
        for form in (*part.forms, *part.weak, *part.plural_forms, *part.head_forms):
            yield "part", "parts.toml", part.id, form
    for family in lexicon.families.values():
        for form in (*family.forms, *family.plural_forms):
            yield "part", "families.toml", family.id, form
    for defect in lexicon.defects.values():
        for form in defect.forms:
            yield "defect", "defects.toml", defect.id, form


def _twice(sources: Sources, one: tuple[str, str, str], two: tuple[str, str, str]) -> LexiconError:
    """The fault of a form with two meanings, at the place that the person who wrote it last can mend."""
    here, there = one, two
    path, text = sources[here[0]][-1]
    if len(sources[here[0]]) == 1 or not line_of(text, here[2], here[1]):
        here, there = two, one
        path, text = sources[here[0]][-1]
    _, owner, form = here
    other_name, other, _ = there
    line = line_of(text, form, owner) or 1
    message = f"'{form}' is given to '{owner}' and to '{other}' ({other_name}); keep it in one of them."
    return LexiconError(f"{shown(path)} line {line}: {message}")


def _check_nothing_meant(lexicon: Lexicon, sources: Sources, forms: set[tuple[str, ...]]) -> None:
    """A phrase that means nothing must not be the name of a part, a defect or a good word."""
    forms |= {lexicon.fold(form) for path in ("good.phrases", "repaired.renewed") for form in lexicon.phrases(path)}
    for phrase in lexicon.phrases("joining.nothing_meant"):
        if lexicon.fold(phrase) in forms:
            message = f"'{phrase}' stands in nothing_meant and has a meaning elsewhere; keep it in one of them."
            raise _fault(sources, "phrases.toml", phrase, "joining", message)


def _check_forms(lexicon: Lexicon, sources: Sources) -> None:
    seen: dict[tuple[str, tuple[str, ...]], tuple[str, str, str]] = {}
    for kind, name, owner, form in _forms(lexicon):
        folded = lexicon.fold(form)
        if not folded:
            raise _fault(sources, name, form, owner, f"the form '{form}' of '{owner}' holds no word.")
        other = seen.get((kind, folded))
        if other and other[1] != owner:
            raise _twice(sources, (name, owner, form), other)
        seen[kind, folded] = (name, owner, form)
    _check_nothing_meant(lexicon, sources, {folded for _, folded in seen})
