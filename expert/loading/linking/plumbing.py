"""Hoses, open ports and caps on ports that a car plumbed so does not have."""

from __future__ import annotations

from collections.abc import Iterator

from expert.loading.linking.context import Context
from expert.loading.reading import quoted, unknown
from expert.model import Plumbing

Where = tuple[str, str, *tuple[str | int, ...]]


def check_plumbing(context: Context) -> None:
    """Note hoses and ports that no part of a setup or bypass layout has."""
    for name, setup in context.sound("setup", context.setups):
        _check_ports("setup", name, setup, {*setup.parts, *setup.gates}, context)
    if not context.complete("setup"):
        return
    # A bypass layout goes with every setup, so its hoses may end on what all of them have.
    parts_of_setups = [set(setup.parts) for setup in context.setups.values()]
    in_every_setup = set.intersection(*parts_of_setups) if parts_of_setups else set()
    for name, bypass in context.sound("bypass", context.bypasses):
        parts = {*bypass.parts, *bypass.gates, *in_every_setup}
        _check_ports("bypass", name, bypass, parts, context)


def _check_ports(
    kind: str, name: str, plumbing: Plumbing, parts: set[str], context: Context
) -> None:
    hosed: set[str] = set()
    for port, where in _hose_ends(kind, name, plumbing):
        _check_port(port, parts, where, context)
        hosed.add(port)
    for hose_name, hose in plumbing.hoses.items():
        if hose.from_ == hose.to:
            found = f"this hose begins and ends on {quoted(hose.to)}"
            context.at_value(found, kind, name, "hoses", hose_name, "to")
    for field, closed in (("open", ()), ("capped", plumbing.open)):
        for index, port in enumerate(getattr(plumbing, field)):
            _check_port(port, parts, (kind, name, field, index), context)
            if port in hosed:
                found = f"{quoted(port)} is {field} here and has a hose; expected one of the two"
                context.at_value(found, kind, name, field, index)
            if port in closed:
                found = f"{quoted(port)} is open already; expected one of the two"
                context.at_value(found, kind, name, field, index)


def _hose_ends(kind: str, name: str, plumbing: Plumbing) -> Iterator[tuple[str, Where]]:
    for hose_name, hose in plumbing.hoses.items():
        yield hose.from_, (kind, name, "hoses", hose_name, "from")
        yield hose.to, (kind, name, "hoses", hose_name, "to")


def _check_port(port: str, parts: set[str], where: Where, context: Context) -> None:
    part_name, _, port_name = port.partition(".")
    if part_name not in parts:
        if part_name in context.parts:
            message = f"the part {quoted(part_name)} is not one of the parts here; add it to them"
        else:
            message = unknown("the part", part_name, sorted(parts))
        context.at_value(message, *where)
    elif context.is_sound("part", part_name):
        ports = context.parts[part_name].ports
        if port_name not in ports:
            what = f"of the part {quoted(part_name)}, the port"
            context.at_value(unknown(what, port_name, ports), *where)
