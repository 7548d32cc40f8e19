"""A tank card opened on a phone without a network."""

import dataclasses
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from waterkit.pages.html import tank_card
from waterkit.pages.view.figures import Figures
from waterkit.plan import SeasonPlan, plan_season

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

DO = "May it be used?"
NOW = "2027-08-16T10:00:00"


@dataclasses.dataclass
class Card:
    """A card opened on a phone without a network, with all that it asked for and said."""

    page: "Page"
    requests: list[str]
    said: list[str]

    def ask(self, job: str, reading: str, temperature: str, litres: str = "") -> None:
        """Tap the job, type the numbers, tap the button."""
        self.page.locator("label", has=self.page.locator(f'[name="job"][value="{job}"]')).tap()
        self.unfold("#much")
        for field, text in (("reading", reading), ("temperature", temperature), ("litres", litres)):
            self.page.locator(f"#{field}").tap()
            self.page.locator(f"#{field}").fill("")
            self.page.keyboard.type(text)
        self.page.get_by_role("button", name=DO).tap()

    def choose(self, words: str) -> None:
        """Tap a choice of the form."""
        self.unfold("#look")
        self.page.locator("#ask").get_by_text(words, exact=True).tap()

    def unfold(self, part: str) -> None:
        """Tap what stands above a part of the form that is folded away."""
        if not self.page.locator(part).evaluate("part => part.open"):
            self.page.locator(f"{part} summary").tap()

    @property
    def word(self) -> str:
        return self.page.locator("#result h2").inner_text()

    @property
    def result(self) -> str:
        return self.page.locator("#result").inner_text()

    def keep(self, by: str = "Kim") -> None:
        self.page.locator("#by").fill(by)
        self.page.get_by_role("button", name="Keep it on this phone").tap()

    @property
    def rows(self) -> int:
        return self.page.locator("#rows li").count()

    @property
    def lines(self) -> str:
        return self.page.locator("#lines").input_value()

    def told(self, field: str) -> str:
        return self.page.locator(f"#{field}-told").inner_text()


Open = Callable[..., Card]


def card_text(plan: SeasonPlan, **changes: Any) -> str:
    """The card of the plan's club with other settings."""
    club = dataclasses.replace(plan.club, **changes)
    return tank_card(plan_season(club, plan.as_of), Figures.of(club, plan.as_of)).text(False)


def phone(
    browser: "Browser", path: Path, zone: str = "UTC", dark: bool = False, javascript: bool = True
) -> "BrowserContext":
    """A narrow phone with a touch screen that reaches one file and nothing else."""
    context = browser.new_context(
        viewport={"width": 360, "height": 740},
        has_touch=True,
        is_mobile=True,
        offline=True,
        timezone_id=zone,
        color_scheme="dark" if dark else "light",
        java_script_enabled=javascript,
    )
    context.route(lambda address: address != path.as_uri(), lambda route: route.abort())
    return context


def open_on(context: "BrowserContext", path: Path, now: str | None, script: str = "") -> Card:
    """Open a card at a moment, after a script that changes the phone."""
    card = Card(context.new_page(), [], [])
    card.page.on("request", lambda request: card.requests.append(request.url))
    card.page.on("console", lambda message: card.said.append(message.text))
    card.page.on("pageerror", lambda error: card.said.append(str(error)))
    if now:
        card.page.clock.set_fixed_time(now)
    card.page.add_init_script(script)
    card.page.goto(path.as_uri())
    return card
