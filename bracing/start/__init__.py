"""`start`: a wall file from a dozen questions a crew answers with a tape.

question   one question: its words, how an answer is read, and what counts where nobody knows
reading    answers as a crew writes them into values of a wall file
box        shank, length and head off the box into a fastener
questions  the questions, in order
interview  asking them: back, quit, done, help; every answer checked against the wall so far
text       values into a commented wall file
templates  answers of demo walls
"""

from bracing.start.interview import Interview, Quit
from bracing.start.questions import QUESTIONS
from bracing.start.templates import TEMPLATES, template_values
from bracing.start.text import write_new_wall

__all__ = ["QUESTIONS", "TEMPLATES", "Interview", "Quit", "template_values", "write_new_wall"]
