"""A walk begins in a clinic with what is shipped, or not at all."""

import pytest

from flows.protocols.model import Selection
from flows.walk import Setting


def test_a_walk_of_products_that_are_not_shipped_is_refused_by_name() -> None:
    unknown = Selection("nothing_of_the_kind", "opa_strip_1s_90s", "handheld_probe", "enzymatic")

    with pytest.raises(TypeError, match="nothing_of_the_kind"):
        Setting(selection=unknown).opened()
