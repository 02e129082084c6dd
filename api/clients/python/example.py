import sys
from pipwright_client import Pipwright, ProblemError

pipwright = Pipwright(sys.argv[1] if len(sys.argv) > 1 else "http://127.0.0.1:8640")
answer = pipwright.check({"dice": "2d6", "needs": "7+", "tries": 3})
print(f"{answer['fraction']} = {answer['chance']:.4f} each, {answer['passes']['expected']:.2f} of 3 in the mean")
try:
    pipwright.check({"dice": "2d6", "needs": "70001+"})
except ProblemError as error:
    print(f"{error.status} at {error.pointer}: {error.title}")
