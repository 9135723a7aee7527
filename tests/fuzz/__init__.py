"""Job files and amendments spoiled from a seed, through the commands that read them: no fault of ours, none takes long.

python -m tests.fuzz --seed 1 --count 20000     all commands but the slow ones are cheap
python -m tests.fuzz --one 12345                one mutant again, written beside what each command made of it
"""
