#!/usr/bin/python3
"""Rebuilds and reruns rows of rows.csv with the flow solver, or fills in rows without results.

    run.py --row NAME [--row NAME ...]   solve rows anew and print them beside the file's values
           --coarse                      mesh factor 0.5 (about a quarter of the cells)
           --mesh F                      any mesh factor; 1 is the mesh of the rows received
           --check                       fail where a part leaves the band about the file's value
           --keep FOLDER                 leave the case there
    run.py --fill [--row NAME ...]       solve rows of rows.csv that have no heats, write them back
    run.py --table                       write the table of solved rows as package fire reads it

Needs Debian's package openfoam (1912); one solver process at a time, one to three minutes a row
on one core. Exit codes: 0 done, 1 off the band or not settled, 2 bad arguments, 3 no solver.
Heats are for the full circle. The run ends when no part of the heat has moved by more than SETTLED
of the pot's heat over WINDOW iterations and the heats close within CLOSED. At high Reynolds numbers
the iteration may end in a small cycle instead; then it ends when the means of two windows in a row
differ by less than that. A row that does not settle is run again with slower relaxation. What still
moves by less than SCATTER then is kept, with its movement written in the row; what moves more is
left empty, an error: it may have no steady laminar flow.
Results are means over the last window; last_change_percent is the range within it (as a share of
the pot's heat), heat_balance_percent the heat to the pot against the heat the gas lost.
"""
import argparse
import csv
import os
import shutil
import subprocess
import sys
import tempfile
import time

import case

HERE = os.path.dirname(os.path.abspath(__file__))
ROWS = os.path.join(HERE, "rows.csv")
WEDGES = 360 / case.WEDGE_DEG
SAMPLE, WINDOW, CYCLE_AFTER = 50, 250, 1500  # iterations
CLOSED = 0.003   # heat to the pot against heat lost by the gas
WILD = 0.01      # a run moving more than this after 1200 iterations needs slower relaxation
SCATTER = 0.01   # most movement that a slow run may keep; it is written into the row
SETTLED = {"fine": 2e-4, "coarse": 1e-3}
COARSE = 0.5
# Band of the coarse mesh about the file's value: see README.md, "The coarse case".
BAND = {"heat_centre_W": 0.02, "heat_ring_W": 0.015, "heat_side_W": 0.015, "heat_pot_W": 0.01,
        "static_pressure_in_minus_out_Pa": 0.02}
GEOMETRY = {"Rc": "riser_radius_m", "Rp": "pot_radius_m", "gb": "gap_under_pot_m", "gs": "skirt_gap_m",
            "L": "skirt_height_m", "m": "mass_flow_kg_s", "Tin": "gas_in_K",
            "sagitta": "base_sagitta_m", "rise": "plate_rise_m", "sunk": "sunk_m", "gw": "well_gap_m"}
TABLE = os.path.join(HERE, "..", "..", "fire", "channel.csv")
HEATS = ("heat_centre_W", "heat_ring_W", "heat_side_W")
PATCH = {"potCentre": "heat_centre_W", "potRing": "heat_ring_W", "potSide": "heat_side_W",
         "potSideWell": "heat_well_W"}


def read_rows():
    with open(ROWS, newline="") as f:
        reader = csv.DictReader(f)
        return reader.fieldnames, list(reader)


def write_rows(fields, rows):
    part = ROWS + ".part"
    with open(part, "w", newline="") as f:
        writer = csv.DictWriter(f, fields, lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    os.replace(part, ROWS)


def series(folder, name, file):
    """Records of a function object: lists of words, comments left out."""
    path = os.path.join(folder, "postProcessing", name, "0", file)
    if not os.path.exists(path):
        return []
    with open(path) as f:
        text = f.read()
    complete = text[:text.rfind("\n") + 1]
    return [l.split() for l in complete.splitlines() if l.strip() and not l.startswith("#")]


def heat_history(folder):
    """{patch: [(iteration, W to the pot)]}"""
    out = {}
    for words in series(folder, "q", "wallHeatFlux.dat"):
        out.setdefault(words[1], []).append((int(words[0]), -float(words[4]) * WEDGES))
    return out


def windows(history):
    """(range, drift): greatest range of a part over the last window, and greatest change of a
    part's mean from the window before it, both as a share of the pot's heat."""
    n = WINDOW // SAMPLE
    parts = [[q for _, q in v] for v in history.values()]
    if not parts or min(map(len, parts)) <= n:
        return float("inf"), float("inf")
    total = abs(sum(v[-1] for v in parts))
    drift = float("inf")
    if min(map(len, parts)) > CYCLE_AFTER // SAMPLE:
        drift = max(abs(sum(v[-n:]) - sum(v[-2 * n:-n])) / n for v in parts) / total
    return max(max(v[-n - 1:]) - min(v[-n - 1:]) for v in parts) / total, drift


class Diverged(Exception):
    """The solver stopped by itself with an error."""


def solve(geometry, mesh, settled, keep=None):
    """Runs one case; returns its results by column name. A case that diverges or does not settle
    with fast relaxation is run again with slow."""
    try:
        out = attempt(geometry, mesh, settled, keep, case.FAST, 3000)
    except Diverged:
        out = {"settled": False}
    if not out["settled"]:
        out = attempt(geometry, mesh, settled, keep, case.SLOW, 4500)
        out["settled"] |= out["moved"] < SCATTER and abs(out["closure"]) < CLOSED
    return out


def attempt(geometry, mesh, settled, keep, relaxation, iterations):
    folder = keep or tempfile.mkdtemp(prefix="pot-channel-")
    pot = case.write_case(folder, mesh=mesh, iterations=iterations, sample=SAMPLE,
                          relaxation=relaxation, **geometry)
    env = dict(os.environ, WM_PROJECT_DIR="/usr/share/openfoam")
    began = time.monotonic()
    with open(os.path.join(folder, "log.mesh"), "w") as log:
        subprocess.run(["blockMesh"], cwd=folder, env=env, stdout=log, stderr=subprocess.STDOUT, check=True)
    with open(os.path.join(folder, "log.run"), "w") as log:
        solver = subprocess.Popen(["nice", "-n", "10", case.SOLVER], cwd=folder, env=env,
                                  stdout=log, stderr=subprocess.STDOUT)
    try:
        while solver.poll() is None:
            time.sleep(1)
            now = results(folder, geometry, pot, settled)
            if now["settled"] or relaxation is case.FAST and WILD < now["moved"] < 1 and now["iterations"] > 1200:
                solver.terminate()
                solver.wait()
    except BaseException:
        solver.kill()
        raise
    out = results(folder, geometry, pot, settled)
    if solver.returncode > 0 or out["moved"] == float("inf"):
        raise Diverged("the solver stopped with code %d, see %s"
                           % (solver.returncode, os.path.join(folder, "log.run")))
    out["seconds"] = time.monotonic() - began
    if not keep:
        shutil.rmtree(folder)
    return out


def results(folder, geometry, pot, settled):
    """Means over the last window, and how settled they are."""
    history = heat_history(folder)
    moved, drift = windows(history)
    if moved == float("inf"):
        return {"settled": False, "moved": moved}
    mean = lambda values: sum(values[-(WINDOW // SAMPLE):]) / (WINDOW // SAMPLE)
    column = lambda name, i: mean([float(w[i]) for w in series(folder, name, "surfaceFieldValue.dat")])
    out = {PATCH[p]: mean([q for _, q in history[p]]) for p in pot}
    if "heat_well_W" in out:
        out["heat_side_W"] += out["heat_well_W"]
    out["heat_pot_W"] = sum(out[k] for k in HEATS)
    out["gas_out_K"] = column("tOut", 1)
    out["static_pressure_in_minus_out_Pa"] = column("pIn", 1) - column("pOut", 1)
    given = geometry["m"] * (sensible_enthalpy(geometry["Tin"]) - column("tOut", 2))
    closure = out["heat_pot_W"] / given - 1
    out.update(moved=moved, closure=closure, iterations=max(v[-1][0] for v in history.values()),
               settled=min(moved, drift) < settled and abs(closure) < CLOSED)
    return out


def sensible_enthalpy(T):
    """J/kg of the solver's gas above 298.15 K."""
    def h(T):
        a = case.GAS_LOW if T < 1000 else case.GAS_HIGH
        return 8.314462618 / case.GAS_KG_MOL * (a[5] + sum(a[i] * T ** (i + 1) / (i + 1) for i in range(5)))
    return h(T) - h(298.15)


def geometry_of(row):
    return {k: float(row[c]) for k, c in GEOMETRY.items() if row[c]}


def report(name, row, ours, bands):
    """Prints ours beside the file's; returns whether all lie in their band."""
    print("%s: %d iterations, %.0f s, last change %.3f %%, heat balance %+.2f %%"
          % (name, ours["iterations"], ours["seconds"], 100 * ours["moved"], 100 * ours["closure"]))
    filed = {k: float(row[k]) for k in HEATS + ("gas_out_K", "static_pressure_in_minus_out_Pa")}
    filed["heat_pot_W"] = sum(filed[k] for k in HEATS)
    good = True
    for k, want in filed.items():
        off = ours[k] / want - 1
        inside = bands is None or k not in bands or abs(off) <= bands[k]
        good &= inside
        band = "" if bands is None or k not in bands else "  band +/-%g %%: %s" % (
            100 * bands[k], "inside" if inside else "OFF")
        print("  %-34s %9.3f  file %9.3f  %+6.2f %%%s" % (k, ours[k], want, 100 * off, band))
    return good


def fill(row, mesh, settled):
    ours = solve(geometry_of(row), mesh, settled)
    if not ours["settled"]:
        return ours
    for k in HEATS + ("heat_well_W", "gas_out_K"):
        row[k] = "%.1f" % ours[k] if k in ours else ""
    row["static_pressure_in_minus_out_Pa"] = "%.3f" % ours["static_pressure_in_minus_out_Pa"]
    row["mesh"], row["iterations"] = "%g" % mesh, str(ours["iterations"])
    row["last_change_percent"] = "%.3f" % (100 * ours["moved"])
    row["heat_balance_percent"] = "%.2f" % (100 * ours["closure"])
    return ours


def table(rows):
    """Writes the solved rows as fire/channel.csv, whose comment it keeps."""
    with open(TABLE) as f:
        comment = [line for line in f if line.startswith("#")]
    number = lambda row, column: row[column] or "0"
    with open(TABLE, "w", newline="") as f:
        f.writelines(comment)
        writer = csv.writer(f, lineterminator="\n")
        writer.writerow(["case", "riser_radius", "pot_radius", "gap", "skirt_gap", "skirt_height", "flow", "gas_in",
                         "curvature", "plate_rise", "sunk", "sunk_gap", "centre", "ring", "side", "gas_out", "pressure",
                         "mesh", "use"])
        for row in rows:
            if not row["heat_side_W"]:
                continue
            sagitta, edge = float(number(row, "base_sagitta_m")), float(row["pot_radius_m"])
            curvature = "%.6g" % ((edge ** 2 + sagitta ** 2) / (2 * sagitta)) if sagitta else "0"
            writer.writerow([row["case"]] + [number(row, GEOMETRY[k]) for k in ("Rc", "Rp", "gb", "gs", "L", "m", "Tin")]
                            + [curvature] + [number(row, GEOMETRY[k]) for k in ("rise", "sunk", "gw")]
                            + [row[k] for k in HEATS + ("gas_out_K", "static_pressure_in_minus_out_Pa", "mesh", "use")])


def main():
    parser = argparse.ArgumentParser(description="Solve rows of rows.csv with the flow solver.")
    parser.add_argument("--row", action="append", default=[])
    parser.add_argument("--coarse", action="store_true")
    parser.add_argument("--mesh", type=float)
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--keep")
    parser.add_argument("--fill", action="store_true")
    parser.add_argument("--table", action="store_true")
    args = parser.parse_args()
    fields, rows = read_rows()
    by_name = {r["case"]: r for r in rows}
    if args.table:
        table(rows)
        return 0
    unknown = [n for n in args.row if n not in by_name]
    if unknown or not (args.row or args.fill):
        parser.error("no row %s" % ", ".join(unknown) if unknown else "--row NAME or --fill is needed")
    if not shutil.which(case.SOLVER):
        print("the flow solver is not installed (Debian package openfoam)")
        return 3
    mesh = args.mesh or (COARSE if args.coarse else 1.0)
    settled = SETTLED["coarse" if args.coarse else "fine"]
    good = True
    for name in () if args.fill else args.row:
        row = by_name[name]
        ours = solve(geometry_of(row), mesh, settled, args.keep)
        good &= report(name, row, ours, BAND if args.check else None)
        if not ours["settled"]:
            print("  not settled")
            good = False
    if args.fill:
        for row in rows:
            if row["heat_side_W"] or (args.row and row["case"] not in args.row):
                continue
            ours = fill(row, mesh, settled)
            if not ours["settled"]:
                print(row["case"], "has not settled:", ours, flush=True)
                good = False
                continue
            write_rows(fields, rows)
            print(row["case"], {k: round(v, 4) for k, v in ours.items()}, flush=True)
    if args.check:
        print("inside the band" if good else "OFF the band")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
