"""Practice sheets: a worked sheet with its results hidden, marked line by line, that knows why an answer is wrong."""

from calc.practice.lesson import Lesson, Question, Slip, lessons, question, question_from_job, question_set
from calc.practice.marking import Marked, mark

__all__ = ["Lesson", "Marked", "Question", "Slip", "lessons", "mark", "question", "question_from_job", "question_set"]
