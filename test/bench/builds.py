"""Random builds in numpy: the model comes as JSON on standard input, their number as argument; tells shares and time."""

import json
import sys
import time

import numpy as np

model = json.load(sys.stdin)
count = int(sys.argv[1])
started = time.perf_counter()
rng = np.random.default_rng(1)

edges = {seat["of"] for seat in model["seats"] if seat["as"] == "edge"}
widths = []
for gap, (size, sigma) in enumerate(zip(model["size"], model["sigma"])):
    width = size + sigma * rng.standard_normal(count) if sigma > 0 else np.full(count, float(size))
    widths.append(width if gap in edges else np.maximum(width, 0, out=width))

values = np.empty((len(model["seats"]), count))
at = 0
while at < len(model["seats"]):
    seat = model["seats"][at]
    width = widths[seat["of"]]
    if seat["as"] == "edge":
        values[at] = width
    elif seat["as"] == "line":
        values[at] = width * rng.uniform(-1, 1, count)
    else:
        far, towards = width * rng.random(count), 2 * np.pi * rng.random(count)
        values[at], values[at + 1] = far * np.cos(towards), far * np.sin(towards)
        at += 1
    at += 1

wrong = np.zeros((len(model["symbols"]), count), dtype=bool)
for cam in model["cams"]:
    turn, lift = np.full(count, float(cam["lean"] + cam["shift"])), np.zeros(count)
    for seat, each in cam["turn"]:
        turn += each * values[seat]
    for seat, each in cam["lift"]:
        lift += each * values[seat]
    tables = np.array(cam["lifts"])
    grid = np.linspace(-cam["reach"], cam["reach"], tables.shape[1])
    # First by the narrowest of all positions, then those that fail position by position: as it is done in the program.
    least = (np.array(cam["low"])[:, None] - tables).max(axis=0)
    most = (np.array(cam["high"])[:, None] - tables).min(axis=0)
    failing = np.flatnonzero((lift < np.interp(turn, grid, least)) | (lift > np.interp(turn, grid, most)))
    for position, table in enumerate(tables):
        stands = np.interp(turn[failing], grid, table) + lift[failing]
        fails = (stands < cam["low"][position]) | (stands > cam["high"][position])
        wrong[model["symbolAt"][position], failing] |= fails

taken = time.perf_counter() - started
print(
    json.dumps(
        {
            "ms": 1000 * taken,
            "readRight": float(1 - wrong.any(axis=0).mean()),
            "bySymbol": {symbol: float(1 - wrong[i].mean()) for i, symbol in enumerate(model["symbols"])},
        }
    )
)
