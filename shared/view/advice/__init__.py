"""What a person may want to know beside a plan: what a choice, an offcut, a near miss or a spare is worth."""

from shared.view.advice.comparing import comparison_advice
from shared.view.advice.margins import margins_advice
from shared.view.advice.spares import spares_advice
from shared.view.advice.table import Advice, Heading
from shared.view.advice.worth import worth_advice, worth_plot

__all__ = [
    "Advice",
    "Heading",
    "comparison_advice",
    "margins_advice",
    "spares_advice",
    "worth_advice",
    "worth_plot",
]
