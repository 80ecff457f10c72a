"""Prices in a line of sticks: ``$6``, ``@ 58.40``, ``24,50 €``, ``3.07/ft``, ``0.82 per lb``, ``40 % off``."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import Final

from shared.reading.line.amounts import AMOUNT, CURRENCY, HUNDRED, PER, money_of
from shared.reading.values.draft import Ask, Draft, Money, Rewrite
from shared.reading.values.line_state import LineState

__all__ = ["price_in", "take_money"]

_CENT: Final = r"(?:¢|cts?\b|cents?\b|pence\b|(?:c|(?<=\d)p)(?=\s*/|\s+per\b|\s+each\b|\s+ea\b))"
_PRICE: Final = re.compile(
    rf"(?:@\s*)?(?:(?P<before>{CURRENCY})\s*(?P<amount>{AMOUNT})"
    rf"|(?<![\w./x])(?P<amount2>{AMOUNT})\s*(?P<after>{CURRENCY}))(?:[.,]?-{{1,2}})?{PER}",
    re.IGNORECASE,
)
_PLAIN: Final = re.compile(
    rf"(?:@\s*|(?:price|preis|prix|precio|cost)\s*[:=]?\s*)(?P<amount>{AMOUNT})(?!\s*(?:\"|'|ft\b|in\b|mm\b"
    rf"|m\b|cm\b)|[\d/x'\"-]){PER}"
    rf"|(?<![\w./x-])(?P<amount2>{AMOUNT})(?:\s*/\s*|\s+per\s+)(?P<per2>ft|foot|m|lb|lbs|kg|cwt|t"
    rf"|100\s*kg)(?![^\W_])\.?"
    r"|(?<![\w./x-])(?P<amount3>\d{1,6})[.,]-{1,2}(?!\d)",
    re.IGNORECASE,
)
_SPLIT: Final = re.compile(
    r"(?<![\w./x,-])(?P<whole>\d{1,5})\s?(?:€|euros?\s(?:(?:con|et|und|e|en)\s)?)(?P<cents>\d{2})(?![\d.,]|\s*(?:mm|cm|m)\b)",
    re.IGNORECASE,
)
"""``18 €90``, as prices are written by hand in France, and ``14 euros con 20``."""
_WAS: Final = re.compile(
    rf"\b(?:was|rrp|statt|vorher|au lieu de|avant|antes|invece di|prima|voorheen)\s*:?\s*(?:{CURRENCY}\s*)?{AMOUNT}"
    rf"(?:\s*{CURRENCY})?",
    re.IGNORECASE,
)
_LEAST: Final = re.compile(
    r"\b(?:min(?:imum|imo|dest(?:ens)?|st)?|m[íi]n(?:imo)?|ab|from)\b\.?\s*(?:order\s*|abnahme\s*|best\.?\s*)?:?\s*\d+"
    r"(?:\s*(?:pcs?|pieces?|lengths?|st(?:k|ück|uks?|[äa]be?)?|barres?|barras?|barre|uds?|pz|off|no))\b\.?"
    r"|\bbundles?\b(?:\s+only)?(?:\s+of\s+\d+|\s*\(\d+\))?|\bbund(?:weise)?\b|\bpaquets?\s+de\s+\d+",
    re.IGNORECASE,
)
_SLANG: Final = re.compile(r"\b(?:fiver|tenner|quid|bucks?|grand)\b", re.IGNORECASE)
_NOW: Final = re.compile(r"\b(?:now|jetzt|nur noch|maintenant|ahora|adesso|ora|nu)\b", re.IGNORECASE)
_IN_CENTS: Final = re.compile(rf"(?<![\w./x])(?P<amount>{AMOUNT})\s*{_CENT}{PER}", re.IGNORECASE)
_OFF: Final = re.compile(
    r"(?P<share>\d{1,3}(?:[.,]\d{1,2})?)\s*%\s*(?P<word>off|discount|less|rabatt|nachlass|remise|rabais"
    r"|descuento|dto)?",
    re.IGNORECASE,
)
_CENTS: Final = re.compile(
    r"(?<![\w./x,'\"-])(?P<amount>\d{1,5}[.,]\d{2})(?![\w./x,'\"°%-]|\s*(?:\"|'|ft\b|in\b|mm\b|m\b|cm\b|x\b))"
)


def take_money(work: LineState, draft: Draft) -> None:
    """Take the price that a line states.

    A number that only looks like money is taken where another number can be the length.
    """
    if _ask_terms(work, draft):
        return
    was = _WAS.search(work.text)
    if was:
        draft.notes.append(f"{was.group().strip()}: left aside")
        _take(work, was.span())
        work.text = work.text[: was.start()] + " " * len(was.group()) + work.text[was.end() :]
    split = _SPLIT.search(work.text)
    if split:
        by_hand = Decimal(f"{split['whole']}.{split['cents']}")
        _set(work, draft, Money(amount=by_hand, currency="EUR"), split.span())
        return
    cents = _IN_CENTS.search(work.text)
    if cents:
        money = money_of(draft, cents["amount"], cents["per"] or "", "", cents.start("amount"))
        if money is not None:
            _set(work, draft, replace(money, amount=money.amount / HUNDRED), cents.span())
        return
    off = _OFF.search(work.text)
    if off:
        share = Decimal(off["share"].replace(",", ".")) / HUNDRED
        _set(work, draft, Money(amount=share, per="discount"), off.span())
        return
    if _ask_which_side(work, draft):
        return
    found = _signed(work.text) or _PLAIN.search(work.text)
    if found:
        groups = found.groupdict()
        amount = groups.get("amount") or groups.get("amount2") or groups.get("amount3") or ""
        per = groups.get("per") or groups.get("per2") or ""
        sign = groups.get("before") or groups.get("after") or ""
        group = next(name for name in ("amount", "amount2", "amount3") if groups.get(name))
        money = money_of(draft, amount, per, sign, found.start(group))
        if money is not None:
            _set(work, draft, money, found.span())
            _ask_second(work, draft, found.end())
        else:
            _take(work, found.span())
        return
    _take_cents(work, draft)


def _ask_terms(work: LineState, draft: Draft) -> bool:
    """Ask about a smallest number and about money in slang: neither is a price or a quantity."""
    least = _LEAST.search(work.text)
    if least is not None and not re.match(r"\s*[:=@€$£]", work.text[least.end() :]):
        end = least.end()
        start = len(work.text[: least.start()].rstrip(" ,;-("))
        draft.asks.append(
            Ask(
                message=f"{least.group().strip()}: a plan holds to no smallest number; write a price by quantity, "
                "such as from 5: 11.90, or leave it out and buy enough",
                position=least.start(),
                rewrites=(Rewrite(reading="without it", start=start, end=end, text=""),),
            )
        )
        return True
    slang = _SLANG.search(work.text)
    if slang is not None:
        message = f"how much is {slang.group()}? write an amount such as 5.00"
        draft.asks.append(Ask(message=message, position=slang.start()))
        return True
    return False


def price_in(draft: Draft) -> None:
    """Take a price with its sign out of the remark of a line that states no other."""
    found = _signed(draft.note)
    if found is None:
        return
    group = "amount" if found["amount"] else "amount2"
    sign = found["before"] or found["after"] or ""
    draft.money = money_of(draft, found[group], found["per"] or "", sign, 0)
    draft.note = " ".join((draft.note[: found.start()] + draft.note[found.end() :]).split()).strip(" ,;")


def _signed(text: str) -> re.Match[str] | None:
    """Return the amount that a line's sign belongs to.

    Between two numbers a sign belongs to the one that it touches, else to the one behind it where only that one is
    written as money is.
    """
    now = _NOW.search(text)
    found = _PRICE.search(text, now.end() if now else 0) or _PRICE.search(text)
    if found is None or found["after"] is None:
        return found
    begin = found.start("after")
    behind = _PRICE.match(text, begin)
    if behind is None or text[found.end("amount2") : begin] == "":
        return found
    return behind if not text[found.end("after") : behind.start("amount")] or not _is_money(found["amount2"]) else found


def _is_money(amount: str) -> bool:
    """Whether a number is written as money mostly is: with two decimals."""
    return re.fullmatch(r".*\d[.,]\d{2}", amount) is not None


def _ask_which_side(work: LineState, draft: Draft) -> bool:
    """Ask where a sign stands free between two numbers that are both written as money is, or neither."""
    found = _PRICE.search(work.text)
    if found is None or found["after"] is None:
        return False
    begin, end = found.start("after"), found.end("after")
    behind = _PRICE.match(work.text, begin)
    free = behind is not None and work.text[begin - 1] == " " and work.text[end : end + 1] == " "
    if behind is None or not free or _is_money(found["amount2"]) != _is_money(behind["amount"]):
        return False
    if re.match(r"[.,]-", work.text[behind.end("amount") :]):
        return False
    sign = found["after"]
    draft.asks.append(
        Ask(
            message=f"{sign} belongs to {found['amount2']} or to {behind['amount']}? write the sign against its amount",
            position=begin,
            rewrites=tuple(
                Rewrite(reading=f"{sign}{amount}", start=start, end=stop, text=text)
                for amount, start, stop, text in (
                    (behind["amount"], begin, behind.end("amount"), f"{sign}{behind['amount']}"),
                    (found["amount2"], found.start("amount2"), end, f"{sign}{found['amount2']}"),
                )
            ),
        )
    )
    return True


def _ask_second(work: LineState, draft: Draft, end: int) -> None:
    """Ask where another amount with a currency's sign stands behind the price."""
    other = _PRICE.search(work.text, end)
    sized = any(token.kind == "cross" for token in work.tokens)
    if other is not None and other["before"] and sized:
        message = f"{other.group().strip()} beside another price; write one, or a price by quantity as from 5: 84.00"
        draft.asks.append(Ask(message=message, position=other.start()))


def _take_cents(work: LineState, draft: Draft) -> None:
    """Take a number with two decimals as the price where the line has another number for the length."""
    found = list(_CENTS.finditer(work.text))
    if not found:
        return
    last = found[-1]
    in_chain = {spot for at, token in enumerate(work.tokens) if token.kind == "cross" for spot in (at - 1, at + 1)}
    others = [
        token
        for at, token in enumerate(work.tokens)
        if token.kind == "number"
        and at not in in_chain
        and not last.start() <= token.start < last.end()
        and (token.unit in {"in", "ft", "mm", "m", "cm"} or token.end < last.start())
    ]
    if others:
        money = money_of(draft, last["amount"], "", "", last.start())
        if money is not None:
            _set(work, draft, money, last.span())


def _set(work: LineState, draft: Draft, money: Money, span: tuple[int, int]) -> None:
    """Keep a price and take its tokens."""
    draft.money = money
    _take(work, span)


def _take(work: LineState, span: tuple[int, int]) -> None:
    start, end = span
    inside = [at for at, token in enumerate(work.tokens) if token.start < end and token.end > start]
    work.take(inside)
    work.noted.difference_update(inside)
