"""Ask a page, as the browser has laid it out, about what a person would meet on it.

The scripts run from outside; the pages themselves have none.
"""

from typing import Final

from playwright.sync_api import Page

from tests.browser.colours import Colour, read_colour

_TOO_WIDE: Final = """() => {
    const page = document.documentElement;
    const over = [...document.body.querySelectorAll("*")].filter(one => {
        const outside = one.closest(".wide");
        if ((outside && outside !== one) || one.matches(".skip, .unseen")) return false;
        const around = one.getBoundingClientRect();
        return around.width > 0 && (around.right > innerWidth + 0.5 || around.left < -0.5);
    }).map(one => `${one.tagName} ${one.className} ${one.id}`.trim());
    return page.scrollWidth > innerWidth ? [`the page: ${page.scrollWidth} px`, ...over] : over;
}"""

_ILL_TIED: Final = """() => {
    const wrong = [];
    const told = one => (one.getAttribute("aria-describedby") || "").split(/\\s+/).filter(Boolean);
    const tellers = [...document.querySelectorAll("[aria-describedby]")];
    for (const one of tellers) for (const id of told(one))
        if (!document.getElementById(id)) wrong.push(`nothing is called ${id}`);
    for (const fault of document.querySelectorAll(".fault")) {
        const fields = tellers.filter(one => told(one).includes(fault.id));
        if (!fields.length) wrong.push(`of no field: ${fault.innerText}`);
        for (const one of fields)
            if (one.getAttribute("aria-invalid") !== "true") wrong.push(`not invalid: ${one.name}`);
    }
    for (const field of document.querySelectorAll("[aria-invalid=true]"))
        if (!told(field).some(id => document.getElementById(id)?.matches(".fault")))
            wrong.push(`no fault is told of ${field.name}`);
    for (const link of document.querySelectorAll("a[href^='#']"))
        if (!document.getElementById(link.hash.slice(1))) wrong.push(`leads nowhere: ${link.hash}`);
    for (const group of document.querySelectorAll("fieldset"))
        if (!group.querySelector(":scope > legend")?.textContent.trim()) wrong.push("no legend");
    const ids = [...document.querySelectorAll("[id]")].map(one => one.id);
    for (const id of ids)
        if (ids.indexOf(id) !== ids.lastIndexOf(id)) wrong.push(`twice: ${id}`);
    return wrong;
}"""

_COLOURS: Final = """() => {
    const behind = one => {
        for (; one; one = one.parentElement) {
            const colour = getComputedStyle(one).backgroundColor;
            if (colour !== "rgba(0, 0, 0, 0)") return colour;
        }
        return "rgb(255, 255, 255)";
    };
    const says = one => one.matches("input:not([type=radio]):not([type=checkbox]), select")
        ? one.value : [...one.childNodes].filter(part => part.nodeType === Node.TEXT_NODE)
            .map(part => part.data).join("");
    return [...document.body.querySelectorAll("*")]
        .filter(one => !one.closest(".unseen, .skip, datalist") && one.checkVisibility())
        .filter(one => says(one).trim())
        .map(one => [says(one).trim().slice(0, 40), getComputedStyle(one).color, behind(one)]);
}"""

_CONTROLS: Final = """() => {
    for (const one of document.querySelectorAll("details")) one.open = true;
    return document.querySelectorAll("input:not([type=hidden]), select, textarea, button").length;
}"""

_NEED_NAMES: Final = frozenset(
    {"textbox", "combobox", "radio", "checkbox", "button", "Date", "link", "image", "region"}
    | {"navigation", "DisclosureTriangle", "spinbutton"}
)
_ARE_CONTROLS: Final = frozenset({"textbox", "combobox", "radio", "checkbox", "button", "Date"})


def too_wide(page: Page) -> list[str]:
    """List what reaches beyond the page; a table may, within the frame that scrolls it."""
    found: list[str] = page.evaluate(_TOO_WIDE)
    return found


def ill_tied(page: Page) -> list[str]:
    """List what belongs together and is not tied: faults and fields, groups and their legends.

    Links that lead to nothing on their page are listed, and ids that stand twice.
    """
    found: list[str] = page.evaluate(_ILL_TIED)
    return found


def colours(page: Page) -> list[tuple[str, Colour, Colour]]:
    """Give each text that is shown, with its colour and the one behind it."""
    found: list[tuple[str, str, str]] = page.evaluate(_COLOURS)
    return [(text, read_colour(ink), read_colour(paper)) for text, ink, paper in found]


def unnamed(page: Page) -> list[str]:
    """List what a screen reader would have no name for, by the browser's own reckoning.

    Whatever opens is opened first. Raises AssertionError where a control is not told of at all.
    """
    expected: int = page.evaluate(_CONTROLS)
    session = page.context.new_cdp_session(page)
    tree = session.send("Accessibility.getFullAXTree")
    session.detach()
    told = [
        (str(node["role"]["value"]), str(node.get("name", {}).get("value", "")).strip())
        for node in tree["nodes"]
        if not node["ignored"]
    ]
    controls = [role for role, _ in told if role in _ARE_CONTROLS]
    assert len(controls) >= expected, f"{expected} controls, of which {controls} are told of"
    return [f"a {role} without a name" for role, name in told if role in _NEED_NAMES and not name]
