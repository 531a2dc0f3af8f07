"""What makes a record of words in the tests of the trade step."""

from collections.abc import Callable

from walkround.report.record import Report

Make = Callable[..., Report]
