"""One answer in a line, without a house: a question in trade notation makes a small job, which the families work.

    for answer in ask("drop", "16 A 120 V 110 ft 12 AWG"):
        print(answer.line)

There is no arithmetic here: each answer is read off a sheet.
"""

from calc.job import Job
from calc.quick.answer import Adopted, Answer
from calc.quick.question import called, one_line, question, questions
from calc.quick.reading import NotUnderstood, question_named, read
from calc.quick.say import as_text
from calc.quick.ways import answers

LATEST = "2023"
"""The edition that a question is answered under where none is named."""


def ask(name: str, text: str, edition: str = LATEST, job: Job | None = None) -> list[Answer]:
    """The answers to a question: one, or one for each way in which it can be read.

    It is answered under an edition, or under the code that a job adopts, with its amendments and readings.

    A name of two words may run into the text: "water", "heater 4500 W". NotUnderstood says what was read, the nearest question
    and an example.
    """
    first, _, rest = text.strip().partition(" ")
    if name.lower() not in called() and f"{name}-{first}".lower() in called():
        name, text = f"{name}-{first}", rest
    under = Adopted({"edition": edition}) if job is None else Adopted(job.data["code"], job.path)
    return answers(read(question_named(name), text), under)


__all__ = [
    "LATEST",
    "Answer",
    "NotUnderstood",
    "as_text",
    "ask",
    "called",
    "one_line",
    "question",
    "question_named",
    "questions",
]
