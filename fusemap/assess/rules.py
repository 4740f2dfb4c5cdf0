"""The named rules as they hold for one vehicle: the default, or the vehicle's own value."""

from collections.abc import Mapping
from functools import lru_cache

from fusemap import tables
from fusemap.assess.result import RuleValue
from fusemap.text import Text, say
from fusemap.vehicle import RuleChoice


@lru_cache(maxsize=64)
def resolve(choices: tuple[RuleChoice, ...]) -> Mapping[str, RuleValue]:
    """Every named rule by key. A choice for a rule that does not exist is left aside."""
    own = {choice.key: choice.value for choice in choices}
    return {
        key: RuleValue(
            key=key,
            label=Text(default.label),
            value=own.get(key, default.value),
            unit=default.unit,
            default=default.value,
            source=say("set for this vehicle") if key in own else default.source.text,
        )
        for key, default in tables.rule_defaults().items()
    }
