"""Practice sheets: a worked sheet with its results hidden, marked line by line, that knows why an answer is wrong."""

from calc.practice.lesson import Lesson, Question, taught
from calc.practice.marking import Marked, mark
from calc.practice.questions import question, question_from_job
from calc.practice.sets import question_set
from calc.practice.slips import Slip

__all__ = ["Lesson", "Marked", "Question", "Slip", "mark", "question", "question_from_job", "question_set", "taught"]
