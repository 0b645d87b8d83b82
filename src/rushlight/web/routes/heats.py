"""How a candle sets and how it burns: forecasts, worked out off the page and kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse, Response

from rushlight.candle.sheet import JarSheet
from rushlight.errors import BadInput, Problem
from rushlight.heat.setting import Setting
from rushlight.web import heat_burn, heat_set
from rushlight.web.asked import Shop, see
from rushlight.web.render import by_place, page, shop_of
from rushlight.web.say import Say
from rushlight.web.workbench import Blank
from rushlight.workshop import Workshop, candles, heats, settings
from rushlight.workshop.candles import CandleView
from rushlight.workshop.heat_asked import BURN_FIELDS, SET_FIELDS
from rushlight.workshop.stove import Pot, State, Stove

router = APIRouter(include_in_schema=False)
LONGEST = 60  # characters of a field; a temperature needs ten


def stove_of(request: Request) -> Stove:
    """Return the application's stove."""
    stove: Stove = request.app.state.stove
    return stove


def _typed(request: Request, names: Sequence[str]) -> dict[str, str]:
    known = {*names, *(f"other.{name}" for name in names)}
    asked = request.query_params
    return {name: asked[name].strip()[:LONGEST] for name in asked if name in known}


def _wait(request: Request, pots: Sequence[Pot]) -> dict[str, Any]:
    """Return how far the work is, and where to ask again."""
    query = request.url.query
    return {
        "done": sum(min(pot.done, pot.steps) for pot in pots),
        "steps": sum(pot.steps for pot in pots),
        "warming": not stove_of(request).warmed.is_set(),
        "query": f"?{query}" if query else "",
    }


def _ended(pots: Sequence[Pot]) -> bool:
    return all(pot.ended.is_set() for pot in pots)


def _failed(pots: Sequence[Pot]) -> tuple[Problem, ...]:
    """Return what the work ran into."""
    for pot in pots:
        if isinstance(pot.problem, BadInput):
            return pot.problem.problems
        if pot.problem is not None:
            return (Problem("", str(pot.problem), ""),)
        if pot.state is State.STOPPED:
            return (Problem("", "It was stopped.", "Ask again when you like."),)
    return ()


class _Set:
    """A request for how a candle sets: what was typed, and the pots that answer it."""

    def __init__(self, request: Request, slug: str) -> None:
        shop = shop_of(request)
        self.request = request
        self.shop = shop
        self.view: CandleView = candles.get(shop, slug)
        self.typed = _typed(request, SET_FIELDS)
        self.problems: tuple[Problem, ...] = ()
        self.jar: JarSheet | None = None
        self.mine: Setting | None = None
        self.other: Setting | None = None
        self.pots: list[Pot] = []
        try:
            self.jar = heats.jar_of(shop, self.view.document)
            self.mine, self.other = heats.settings_asked(
                self.jar, self.typed, room=heats.room_of(shop)
            )
        except BadInput as bad:
            self.problems = bad.problems
            return
        stove = stove_of(request)
        self.pots = [heats.set_pot(stove, self.mine)]
        if self.other is not None:
            self.pots.append(heats.set_pot(stove, self.other))
        self.pots.append(heats.curve_pot(stove, self.mine))

    def subjects(self) -> list[heat_set.Subject]:
        found = []
        if self.mine is not None:
            name = "This setting" if self.other else "The candle"
            found.append(heat_set.Subject(name, self.mine, self.pots[0].found))
        if self.other is not None:
            found.append(heat_set.Subject("The other", self.other, self.pots[1].found))
        return found

    def moment(self, at: int) -> dict[str, Any]:
        subjects = self.subjects()
        clock = heat_set.moments(subjects)
        say = Say(settings.current(self.shop))
        assert self.jar is not None  # noqa: S101 -- there are no subjects without a sheet
        return heat_set.moment(self.jar.candle.vessel, subjects, at, clock, say)


def _at(request: Request) -> int:
    text = request.query_params.get("at", "")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 4 else 0  # noqa: PLR2004


@router.get("/candles/{slug}/set")
def setting(request: Request, shop: Shop, slug: str) -> HTMLResponse:
    """Show how it sets, or how far the work is."""
    asked = _Set(request, slug)
    context: dict[str, Any] = {
        "view": asked.view,
        "typed": Blank(asked.typed),
        "jar": asked.jar,
        "waiting": None,
        "ready": False,
    }
    problems = asked.problems
    if not problems and not _ended(asked.pots):
        context["waiting"] = _wait(request, asked.pots)
    elif not problems:
        problems = _failed(asked.pots)
    if asked.mine is not None and not problems and context["waiting"] is None:
        context |= _set_shown(asked, Say(settings.current(shop)), _at(request))
    status = 422 if problems and asked.typed else 200
    return page(
        request,
        "heat/set.html",
        status=status,
        problems=problems,
        wrong=Blank(by_place(problems)),
        **context,
    )


def _set_shown(asked: _Set, say: Say, at: int) -> dict[str, Any]:
    subjects = asked.subjects()
    clock = heat_set.moments(subjects)
    shown = asked.moment(at)
    first = subjects[0]
    query = [(k, v) for k, v in asked.request.query_params.multi_items() if k != "at"]
    return {
        "ready": True,
        "subjects": [
            {
                "name": s.name,
                "answers": heat_set.answers(s, say),
                "chance": heat_set.chance(s.forecast),
                "words": heat_set.said(s, say),
                "pour": s.setting.pour,
                "vessel": s.setting.vessel,
                "place": s.setting.place,
            }
            for s in subjects
        ],
        "moment": shown,
        "clock": clock,
        "kept": _query(query),
        "charts": heat_set.charts(subjects, say, shown["seconds"]),
        "course": heat_set.course(subjects, clock, say),
        "advice": heat_set.advice(asked.pots[-1].found, first.setting.pour, say),
    }


def _query(pairs: Sequence[tuple[str, str]]) -> str:
    from urllib.parse import urlencode

    return urlencode(pairs)


@router.get("/candles/{slug}/set/moment")
def moment(request: Request, slug: str) -> Response:
    """Show one moment of the section; asked for by the scrubber."""
    asked = _Set(request, slug)
    if asked.problems or not _ended(asked.pots) or _failed(asked.pots):
        return Response(status_code=409)
    return page(request, "heat/moment.html", moment=asked.moment(_at(request)))


def _progress(request: Request, pots: Sequence[Pot]) -> HTMLResponse:
    answer = page(request, "heat/wait.html", waiting=_wait(request, pots))
    if _ended(pots):
        answer.headers["HX-Refresh"] = "true"
    return answer


@router.get("/candles/{slug}/set/wait")
def set_wait(request: Request, slug: str) -> HTMLResponse:
    """Say how far the work is; the page is shown anew when it is done."""
    return _progress(request, _Set(request, slug).pots)


@router.post("/candles/{slug}/set/stop")
def set_stop(request: Request, slug: str) -> Response:
    """Stop the work and go back to the sheet."""
    for pot in _Set(request, slug).pots:
        pot.cancel()
    return see(f"/candles/{slug}")


class _Burn:
    """A request for how a candle burns: what was typed, and the pots that answer it."""

    def __init__(self, request: Request, slug: str) -> None:
        shop = shop_of(request)
        self.view: CandleView = candles.get(shop, slug)
        self.typed = _typed(request, BURN_FIELDS)
        self.problems: tuple[Problem, ...] = ()
        self.question: heats.BurnQuestion | None = None
        self.pots: list[Pot] = []
        self.wicks, self.without = heats.wicks_known(shop)
        try:
            self.question = _question(shop, self.view, self.typed)
        except BadInput as bad:
            self.problems = bad.problems
            return
        stove = stove_of(request)
        self.pots = [heats.burn_pot(stove, self.question)]
        if not self.question.places:
            self.pots.append(heats.window_pot(stove, self.question, self.wicks))


def _question(shop: Workshop, view: CandleView, typed: Mapping[str, str]) -> heats.BurnQuestion:
    jar = heats.jar_of(shop, view.document)
    return heats.burn_asked(jar, typed, room=heats.room_of(shop))


@router.get("/candles/{slug}/burn")
def burning(request: Request, shop: Shop, slug: str) -> HTMLResponse:
    """Show how it burns and which wicks are worth testing, or how far the work is."""
    asked = _Burn(request, slug)
    problems = asked.problems
    context: dict[str, Any] = {
        "view": asked.view,
        "typed": Blank(asked.typed),
        "question": asked.question,
        "waiting": None,
        "ready": False,
        "without": asked.without,
    }
    if not problems and not _ended(asked.pots):
        context["waiting"] = _wait(request, asked.pots)
    elif not problems:
        problems = _failed(asked.pots)
    if asked.question is not None and not problems and context["waiting"] is None:
        say, study = Say(settings.current(shop)), asked.pots[0].found
        context |= {
            "ready": True,
            "answers": heat_burn.answers(study, say),
            "words": heat_burn.said(study, asked.question, say),
            "charts": heat_burn.charts(study, asked.question, say),
            "course": heat_burn.course(study, say),
            "life": heat_burn.life_rows(study, say),
            "window": heat_burn.window(asked.pots[1].found, asked.wicks, asked.question, say)
            if len(asked.pots) > 1
            else None,
        }
    return page(
        request,
        "heat/burn.html",
        status=422 if problems and asked.typed else 200,
        problems=problems,
        wrong=Blank(by_place(problems)),
        **context,
    )


@router.get("/candles/{slug}/burn/wait")
def burn_wait(request: Request, slug: str) -> HTMLResponse:
    """Say how far the work is; the page is shown anew when it is done."""
    return _progress(request, _Burn(request, slug).pots)


@router.post("/candles/{slug}/burn/stop")
def burn_stop(request: Request, slug: str) -> Response:
    """Stop the work and go back to the sheet."""
    for pot in _Burn(request, slug).pots:
        pot.cancel()
    return see(f"/candles/{slug}")
