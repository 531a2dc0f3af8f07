"""The film plan as one page to print or to tick off on a phone."""

from collections.abc import Sequence

from walkround.checklist.plan import Stop
from walkround.report.rendering import asset, environment


def render_plan(title: str, stops: Sequence[Stop]) -> str:
    """The plan as HTML with its style inside it: no script, nothing from the network, the same bytes each time."""
    style, style_source = asset("plan.css.j2")
    template = environment().get_template("plan.html.j2")
    return template.render(title=title, stops=stops, style=style, style_source=style_source)
