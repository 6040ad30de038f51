"""Alerts as a weather service gives them: features in JSON, or messages of the Common Alerting Protocol in XML.

Both are brought to the same few words of a message first. Only an actual alert counts; an update takes the place
of what it refers to, and a cancellation takes it away.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, Any

from attrs import frozen

from bracing.errors import InputError, shown
from bracing.reading.open_forms import stamp_of
from bracing.reading.pasted import plain_unit, speeds_in
from bracing.reading.source import SourceText, json_of, read_source
from bracing.reading.values import Faults
from bracing.storm.alerts import Alert, gust_of_event, speaks_of_thunder
from bracing.storm.clock import Clock, refuse
from bracing.storm.forecast import checked_speed
from bracing.units import Mph

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

MOST_ALERTS = 2000
NAMESPACE = "{urn:oasis:names:tc:emergency:cap:1.2}"
KIND = "a file of alerts, JSON or XML,"
TIME = 'a time with its offset, such as "2026-03-06T20:00:00-06:00"'
ACTUAL, CANCEL, UPDATE = "actual", "cancel", "update"
_DOCTYPE = re.compile(r"<!\s*(?:DOCTYPE|ENTITY)", re.IGNORECASE)


@frozen
class _Message:
    """One message, as either form has it.

    Attributes:
        where: its place in the file.
        id: its identifier.
        status: Actual, Exercise, System, Test or Draft.
        kind: Alert, Update, Cancel, Ack or Error.
        event: what it is of.
        times: by name, as written.
        parameters: by name, what stands there.
        refers: identifiers of the messages it takes the place of.
    """

    where: str
    id: str
    status: str
    kind: str
    event: str
    times: dict[str, Any]
    parameters: dict[str, list[str]]
    refers: frozenset[str]


def read_alerts(path: str, clock: Clock) -> tuple[Alert, ...]:
    """Read a file of alerts.

    Args:
        path: the file.
        clock: the clock of the place; what is over by now is left out.

    Returns:
        The alerts of wind, by their beginning.

    Raises:
        InputError: every fault in it, each with its place.
    """
    return alerts_of(read_source(path, kind=KIND), clock)


def alerts_of(source: SourceText, clock: Clock) -> tuple[Alert, ...]:
    """Read alerts; see `read_alerts`.

    Args:
        source: the text of them.
        clock: the clock of the place.

    Raises:
        InputError: every fault in it.
    """
    faults = Faults(source.file)
    xml = source.text.lstrip()[:1] == "<"
    messages = list(_of_xml(source, faults) if xml else _of_json(source, faults))
    faults.raise_if_any()
    actual = [one for one in messages if one.status.lower() == ACTUAL]
    gone = {id_ for one in actual for id_ in (one.refers if one.kind.lower() in (UPDATE, CANCEL) else ())}
    kept = [one for one in actual if one.kind.lower() in ("alert", UPDATE) and one.id not in gone]
    found = [alert for one in kept if (alert := _alert(one, faults)) is not None]
    faults.raise_if_any()
    ahead = {(alert.id, alert.event): alert for alert in found if alert.end > clock.now}
    return tuple(sorted(ahead.values(), key=lambda alert: (alert.start, alert.id)))


def _alert(message: _Message, faults: Faults) -> Alert | None:
    """The alert of a message; None where it is of no wind, and where it has a fault."""
    gust = gust_of_event(message.event, _named_gust(message, faults))
    if gust is None:
        return None
    start = _time(message, ("onset", "effective", "sent"), faults)
    end = _time(message, ("ends", "eventEndingTime", "expires"), faults)
    if start is None or end is None or end <= start:
        if start is not None and end is not None:
            faults.add(f"{message.where}.ends", f"{end:%Y-%m-%dT%H:%M}Z", "a time after it begins")
        return None
    return Alert(message.id, message.event, start, end, gust, speaks_of_thunder(message.event))


def _time(message: _Message, names: tuple[str, ...], faults: Faults) -> datetime | None:
    """The first of some times that is given."""
    given = {**{name: texts[0] for name, texts in message.parameters.items() if texts}, **message.times}
    for name in names:
        if given.get(name) not in (None, ""):
            stamp = stamp_of(given[name])
            if stamp is None:
                faults.add(f"{message.where}.{name}", given[name], TIME)
            return stamp
    faults.add(f"{message.where}.{names[0]}", None, TIME)
    return None


def _named_gust(message: _Message, faults: Faults) -> Mph | None:
    """The highest gust it names; None where it names none."""
    found: list[Mph] = []
    for text in message.parameters.get("maxWindGust", ()):
        said = speeds_in(text)
        pieces = [(number, unit) for number, unit in (*said.gusts, *said.winds) if unit is not None]
        where = f"{message.where}.parameters.maxWindGust"
        if not pieces:
            faults.add(where, text, 'a speed with its unit, such as "60 MPH"')
        for number, unit in pieces:
            try:
                found.append(checked_speed(f"{number} {plain_unit(unit)}", where))
            except InputError as error:
                faults.add(where, text, error.faults[0].expected)
    return max(found, default=None)


def _identifiers(text: str) -> Iterator[str]:
    """Identifiers of "sender,identifier,sent sender,identifier,sent"."""
    for one in text.split():
        parts = one.split(",")
        yield parts[1] if len(parts) == 3 else one


# -- the two forms ---------------------------------------------------------------------------------------


def _of_json(source: SourceText, faults: Faults) -> Iterator[_Message]:
    tree = json_of(source, expected="alerts as JSON")
    inside = tree if isinstance(tree, dict) else {}
    features = inside.get("features", [tree] if inside.get("type") == "Feature" else None)
    if not isinstance(features, list) or len(features) > MOST_ALERTS:
        expected = f'"features": a list of at most {MOST_ALERTS} alerts'
        refuse("features", shown(inside.get("features")), expected, file=source.file)
    for k, feature in enumerate(features):
        where = f"features[{k}]"
        one = feature.get("properties") if isinstance(feature, dict) else None
        if not isinstance(one, dict):
            faults.add(where, shown(feature), "an alert with its properties")
            continue
        texts = {name: one.get(name) for name in ("id", "status", "messageType", "event")}
        for name, text in texts.items():
            if not isinstance(text, str) or not text:
                faults.add(f"{where}.{name}", text, "a text")
        if all(isinstance(text, str) for text in texts.values()):
            parameters = _listed(one.get("parameters"))
            yield _Message(
                where, str(one["id"]), str(one["status"]), str(one["messageType"]), str(one["event"]),
                {name: one.get(name) for name in ("onset", "effective", "sent", "ends", "expires")}, parameters,
                _refers(one.get("references"), parameters),
            )  # fmt: skip


def _listed(parameters: object) -> dict[str, list[str]]:
    items = parameters.items() if isinstance(parameters, dict) else ()
    return {
        str(name): [str(each) for each in (given if isinstance(given, list) else [given]) if each is not None]
        for name, given in items
    }


def _refers(references: object, parameters: dict[str, list[str]]) -> frozenset[str]:
    told = references if isinstance(references, list) else [references]
    ids = [one.get("identifier") or one.get("@id") for one in told if isinstance(one, dict)]
    texts = [one for one in told if isinstance(one, str)] + parameters.get("expiredReferences", [])
    return frozenset(
        [*(str(one) for one in ids if one), *(each for text in texts for each in _identifiers(text))]
    )


def _of_xml(source: SourceText, faults: Faults) -> Iterator[_Message]:
    """Messages of an XML file: one, or several in anything that holds them."""
    from xml.etree import ElementTree

    if _DOCTYPE.search(source.text):
        refuse("file", "a document type in it", "plain XML: entities are not read", file=source.file)
    try:
        root = ElementTree.fromstring(source.text)  # no document type: nothing in it is expanded
    except ElementTree.ParseError as error:
        refuse(
            "line {}, column {}".format(*error.position), "not XML", "alerts as XML or JSON", file=source.file
        )
    alerts = [root] if root.tag == f"{NAMESPACE}alert" else list(root.iter(f"{NAMESPACE}alert"))
    if not alerts or len(alerts) > MOST_ALERTS:
        expected = f"alert elements of the protocol, version 1.2, at most {MOST_ALERTS}"
        refuse("alert", root.tag[:80] if not alerts else f"{len(alerts)} alerts", expected, file=source.file)
    for k, alert in enumerate(alerts):
        yield from _of_element(f"alert[{k}]", alert, faults)


def _of_element(where: str, alert: Element, faults: Faults) -> Iterator[_Message]:
    head = {name: _text(alert, name) for name in ("identifier", "status", "msgType")}
    for name, text in head.items():
        if not text:
            faults.add(f"{where}.{name}", None, "a text")
    infos = alert.findall(f"{NAMESPACE}info")
    if not infos and head["msgType"].lower() != CANCEL:
        faults.add(f"{where}.info", None, "what it is of")
    for info in infos or [alert]:  # a cancellation may have no information of its own
        parameters: dict[str, list[str]] = {}
        for one in info.findall(f"{NAMESPACE}parameter"):
            parameters.setdefault(_text(one, "valueName"), []).append(_text(one, "value"))
        times = {name: _text(info, name) for name in ("onset", "effective", "expires")}
        refers = _refers(_text(alert, "references"), parameters)
        yield _Message(
            where, head["identifier"], head["status"], head["msgType"], _text(info, "event"),
            {**times, "sent": _text(alert, "sent")}, parameters, refers,
        )  # fmt: skip


def _text(element: Element, name: str) -> str:
    return (element.findtext(f"{NAMESPACE}{name}") or "").strip()
