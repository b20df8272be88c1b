#!/usr/bin/python3
"""Rebuilds and reruns rows of rows.csv with the flow solver, or fills in rows without results.

    run.py --row NAME [--row NAME ...]   solve rows anew and print them beside the file's values
           --coarse                      mesh factor 0.5 (about a quarter of the cells)
           --mesh F                      any mesh factor; 1 is the file's mesh
           --check                       fail where a part leaves the band about the file's value
           --keep FOLDER                 leave the case there
    run.py --fill                        solve every row of rows.csv that has no heats, write it back

Needs Debian's package openfoam (1912); one solver process at a time, one to three minutes a row
on one core. Exit codes: 0 done, 1 off the band or not settled, 2 bad arguments, 3 no solver.
Heats are for the full circle. Convergence: the run ends when no part of the heat has moved by
more than SETTLED of the pot's heat over WINDOW iterations, and the balance of the gas closes.
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
SAMPLE, WINDOW = 50, 400
SETTLED = {"fine": 2e-4, "coarse": 1e-3}
COARSE = 0.5
# Band of the coarse mesh about the file's value: see README.md, "The coarse case".
BAND = {"heat_centre_W": 0.05, "heat_ring_W": 0.05, "heat_side_W": 0.05, "heat_pot_W": 0.03,
        "static_pressure_in_minus_out_Pa": 0.06}
GEOMETRY = {"Rc": "riser_radius_m", "Rp": "pot_radius_m", "gb": "gap_under_pot_m", "gs": "skirt_gap_m",
            "L": "skirt_height_m", "m": "mass_flow_kg_s", "Tin": "gas_in_K",
            "sagitta": "base_sagitta_m", "sunk": "sunk_m", "gw": "well_gap_m"}
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


def spread(history):
    """Greatest range of a part over the last WINDOW iterations, as a share of the pot's heat."""
    last = {k: [q for _, q in v][-(WINDOW // SAMPLE + 1):] for k, v in history.items()}
    if not last or min(map(len, last.values())) < WINDOW // SAMPLE + 1:
        return float("inf")
    total = sum(v[-1] for v in last.values())
    return max(max(v) - min(v) for v in last.values()) / abs(total)


def solve(geometry, mesh, settled, keep=None, iterations=3600):
    """Runs one case; returns its results by column name."""
    folder = keep or tempfile.mkdtemp(prefix="pot-channel-")
    pot = case.write_case(folder, mesh=mesh, iterations=iterations, sample=SAMPLE, **geometry)
    env = dict(os.environ, WM_PROJECT_DIR="/usr/share/openfoam")
    began = time.monotonic()
    with open(os.path.join(folder, "log.mesh"), "w") as log:
        subprocess.run(["blockMesh"], cwd=folder, env=env, stdout=log, stderr=subprocess.STDOUT, check=True)
    with open(os.path.join(folder, "log.run"), "w") as log:
        solver = subprocess.Popen(["nice", "-n", "10", "buoyantSimpleFoam"], cwd=folder, env=env,
                                  stdout=log, stderr=subprocess.STDOUT)
    try:
        while solver.poll() is None:
            time.sleep(0.5)
            if spread(heat_history(folder)) < settled:
                solver.terminate()
                solver.wait()
    except BaseException:
        solver.kill()
        raise
    history, moved = heat_history(folder), spread(heat_history(folder))
    if not history or (moved == float("inf") and solver.returncode):
        raise RuntimeError("the solver stopped early, see %s/log.run" % folder)
    n = WINDOW // SAMPLE // 2
    mean = lambda values: sum(values[-n:]) / len(values[-n:])
    out = {PATCH[p]: mean([q for _, q in history[p]]) for p in pot}
    if "heat_well_W" in out:
        out["heat_side_W"] += out["heat_well_W"]
    out["heat_pot_W"] = sum(out[k] for k in HEATS)
    out["gas_out_K"] = mean([float(w[1]) for w in series(folder, "tOut", "surfaceFieldValue.dat")])
    h_out = mean([float(w[2]) for w in series(folder, "tOut", "surfaceFieldValue.dat")])
    p = [mean([float(w[1]) for w in series(folder, k, "surfaceFieldValue.dat")]) for k in ("pIn", "pOut")]
    out["static_pressure_in_minus_out_Pa"] = p[0] - p[1]
    given = geometry["m"] * (sensible_enthalpy(geometry["Tin"]) - h_out)
    out.update(moved=moved, closure=out["heat_pot_W"] / given - 1, seconds=time.monotonic() - began,
               iterations=max(v[-1][0] for v in history.values()))
    if not keep:
        shutil.rmtree(folder)
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
    for k in HEATS + ("heat_well_W", "gas_out_K"):
        row[k] = "%.1f" % ours[k] if k in ours else ""
    row["static_pressure_in_minus_out_Pa"] = "%.3f" % ours["static_pressure_in_minus_out_Pa"]
    row["mesh"], row["iterations"] = "%g" % mesh, str(ours["iterations"])
    row["last_change_percent"] = "%.3f" % (100 * ours["moved"])
    row["heat_balance_percent"] = "%.2f" % (100 * ours["closure"])
    return ours


def main():
    parser = argparse.ArgumentParser(description="Solve rows of rows.csv with the flow solver.")
    parser.add_argument("--row", action="append", default=[])
    parser.add_argument("--coarse", action="store_true")
    parser.add_argument("--mesh", type=float)
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--keep")
    parser.add_argument("--fill", action="store_true")
    args = parser.parse_args()
    fields, rows = read_rows()
    by_name = {r["case"]: r for r in rows}
    unknown = [n for n in args.row if n not in by_name]
    if unknown or not (args.row or args.fill):
        parser.error("no row %s" % ", ".join(unknown) if unknown else "--row NAME or --fill is needed")
    if not shutil.which("buoyantSimpleFoam"):
        print("the flow solver is not installed (Debian package openfoam)")
        return 3
    mesh = args.mesh or (COARSE if args.coarse else 1.0)
    settled = SETTLED["coarse" if args.coarse else "fine"]
    good = True
    for name in args.row:
        row = by_name[name]
        ours = solve(geometry_of(row), mesh, settled, args.keep)
        good &= report(name, row, ours, BAND if args.check else None)
        if args.check and (ours["moved"] > settled or abs(ours["closure"]) > 0.01):
            print("  not settled")
            good = False
    if args.fill:
        for row in rows:
            if row["heat_side_W"]:
                continue
            ours = fill(row, mesh, settled)
            write_rows(fields, rows)
            print(row["case"], {k: round(v, 4) for k, v in ours.items()}, flush=True)
    if args.check:
        print("inside the band" if good else "OFF the band")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
