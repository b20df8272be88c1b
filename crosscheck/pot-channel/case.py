"""Case writer: steady laminar flow of hot gas from a stove's riser, under a pot and up its skirt.

Writes a case for the general-purpose flow solver OpenFOAM (Debian package openfoam 1912, solver
rhoSimpleFoam with the gas's weight as a body force) on a 5 degree axisymmetric wedge. Mass, momentum with buoyancy and energy are
solved with variable properties: 79 % N2, 21 % O2 by NASA-7 coefficients, ideal gas, viscosity
1.4584e-6 T^1.5/(T + 110.4) Pa s, conductivity mu cv (1.32 + 1.77 R/cv) W/m K. Pot walls hold
383.15 K, all other walls are adiabatic. No radiation, no flame, no turbulence.

Geometry, in metres, z upwards from the plate (the face the riser opens in), r from the axis:

  every pot   riser radius Rc; pot radius Rp; gas enters uniformly at z = -Hc; gas leaves at the
              top of the annulus; gb is the gap between plate and the lowest point of the pot.
  flat        bottom plane at z = gb. Plate and skirt meet at r = Rp + gs. Skirt to z = gb + L.
  round       base is a spherical cap of sagitta s (its depth) and edge radius Rp, lowest point on
              the axis at z = gb:  z(r) = gb + Rs - sqrt(Rs^2 - r^2),  Rs = (Rp^2 + s^2)/(2 s),
              where the vertical side begins. The plate is dished: it rises straight from z = 0 at
              Rc to z = rise at Rp and is level from there to the skirt (rise 0: a flat plate). So
              the gap, measured upwards, is gb on the axis and gb + s - rise at the pot's edge.
              Skirt at Rp + gs from the plate to z = gb + s + L: L is the height of side that the
              skirt covers. Centre and ring part at plan radius Rc.
  sunken      a flat pot in a well of the body. The well's floor takes the plate's part (the riser
              opens in it, z = 0); the pot's bottom is gb above it. The body's top level lies
              `sunk` above the pot's bottom plane, at z = gb + sunk; up to there the annulus is the
              well's, of gap gw. On the body's top stands the skirt, gap gs, reaching L above the
              pot's bottom plane (z = gb + L, L > sunk), so L is the pot's height inside well and
              skirt as in a flat row. Where gs > gw the body's top shows as a ledge; where gs < gw
              a flange of the skirt covers the well's edge. Both are adiabatic.
              With gw = gs this is the flat case: sinking alone changes nothing in the flow.
"""
import math
import os

SOLVER = "rhoSimpleFoam"
POT_K = 383.15
WEDGE_DEG = 5.0
N2_LOW = (3.298677, 1.4082404e-03, -3.963222e-06, 5.641515e-09, -2.444854e-12, -1020.8999)
N2_HIGH = (2.92664, 1.4879768e-03, -5.68476e-07, 1.0097038e-10, -6.753351e-15, -922.7977)
O2_LOW = (3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12, -1063.94356)
O2_HIGH = (3.28253784, 1.48308754e-03, -7.57966669e-07, 2.09470555e-10, -2.16717794e-14, -1088.45772)
GAS_LOW = tuple(0.79 * a + 0.21 * b for a, b in zip(N2_LOW, O2_LOW))
GAS_HIGH = tuple(0.79 * a + 0.21 * b for a, b in zip(N2_HIGH, O2_HIGH))
GAS_KG_MOL = 28.85e-3

TO_WALLS = "((0.5 0.5 4)(0.5 0.5 0.25))"   # cells shrink towards both ends
TO_END = "((0.5 0.5 1)(0.5 0.5 0.3))"      # cells shrink towards the far end


def foam_file(cls, name):
    return "FoamFile{version 2.0;format ascii;class %s;object %s;}\n" % (cls, name)


class Mesh:
    """Blocks on a lattice of radii and levels; a level may rise with the radius."""

    def __init__(self, radii, level, cells):
        self.radii, self.level, self.cells = radii, level, cells
        self.points, self.index, self.blocks, self.patches, self.arcs = [], {}, [], {}, []
        self.front, self.back = [], []
        half = math.radians(WEDGE_DEG / 2)
        self.cos, self.sin = math.cos(half), math.sin(half)

    def vertex(self, i, j, side):
        side = 0 if self.radii[i] == 0 else side
        key = (i, j, side)
        if key not in self.index:
            self.index[key] = len(self.points)
            self.points.append(self.at(self.radii[i], self.level(i, j), side))
        return self.index[key]

    def at(self, r, z, side):
        return (r * self.cos, side * r * self.sin, z)

    def block(self, i, j, nr, nz, grade_r, grade_z):
        v = self.vertex
        hexa = [v(i, j, -1), v(i + 1, j, -1), v(i + 1, j, 1), v(i, j, 1),
                v(i, j + 1, -1), v(i + 1, j + 1, -1), v(i + 1, j + 1, 1), v(i, j + 1, 1)]
        n = [max(2, round(x * self.cells)) for x in (nr, nz)]
        self.blocks.append("hex (%s) (%d 1 %d) simpleGrading (%s 1 %s)"
                           % (" ".join(map(str, hexa)), n[0], n[1], grade_r, grade_z))
        for side, faces in ((-1, self.front), (1, self.back)):
            faces.append("(%d %d %d %d)" % (v(i, j, side), v(i + 1, j, side),
                                            v(i + 1, j + 1, side), v(i, j + 1, side)))

    def wall(self, name, *edges, kind="wall"):
        """Adds to a patch the faces over lattice edges ((i, j), (i, j))."""
        faces = self.patches.setdefault(name, (kind, []))[1]
        for (i, j), (k, l) in edges:
            faces.append("(%d %d %d %d)" % (self.vertex(i, j, -1), self.vertex(k, l, -1),
                                            self.vertex(k, l, 1), self.vertex(i, j, 1)))

    def arc(self, i, j, k, l, r, z):
        """Bends the edge from (i, j) to (k, l) through (r, z), on both faces of the wedge."""
        for side in (-1, 1):
            self.arcs.append("arc %d %d (%.9g %.9g %.9g)"
                             % (self.vertex(i, j, side), self.vertex(k, l, side), *self.at(r, z, side)))

    def dictionary(self):
        patches = dict(self.patches, front=("wedge", self.front), back=("wedge", self.back))
        return (foam_file("dictionary", "blockMeshDict") + "scale 1;\nvertices\n(\n"
                + "\n".join("(%.9g %.9g %.9g)" % p for p in self.points) + "\n);\nblocks\n(\n"
                + "\n".join(self.blocks) + "\n);\nedges\n(\n" + "\n".join(self.arcs)
                + "\n);\nboundary\n(\n"
                + "\n".join("%s{type %s;faces (%s);}" % (k, t, " ".join(f)) for k, (t, f) in patches.items())
                + "\n);\nmergePatchPairs ();\n")


def flat_or_round(Rc, Rp, gb, gs, L, Hc, sagitta, rise, cells):
    sphere = (Rp ** 2 + sagitta ** 2) / (2 * sagitta) if sagitta else math.inf
    cap = lambda r: sphere - math.sqrt(sphere ** 2 - r * r) if sagitta else 0.0
    radii = [0.0, Rc, Rp, Rp + gs]

    def level(i, j):
        if j == 2:
            return gb + cap(min(radii[i], Rp))
        if j == 1:
            return rise if i >= 2 else 0.0
        return (-Hc, None, None, gb + sagitta + L)[j]

    m = Mesh(radii, level, cells)
    # The gap of a round pot opens outwards and gets more cells across; a wider ring more along.
    under, along = (40 if sagitta else 30), max(60, round(60 * (Rp - Rc) / 0.065))
    m.block(0, 0, 44, 60, TO_END, "0.25")
    m.block(0, 1, 44, under, TO_END, TO_WALLS)
    m.block(1, 1, along, under, TO_WALLS, TO_WALLS)
    m.block(2, 1, 24, under, TO_WALLS, TO_WALLS)
    m.block(2, 2, 24, 110, TO_WALLS, "4")
    if sagitta:
        m.arc(0, 2, 1, 2, Rc / 2, gb + cap(Rc / 2))
        m.arc(1, 2, 2, 2, (Rc + Rp) / 2, gb + cap((Rc + Rp) / 2))
    m.wall("inlet", ((0, 0), (1, 0)), kind="patch")
    m.wall("chamberWall", ((1, 0), (1, 1)))
    m.wall("plate", ((1, 1), (2, 1)), ((2, 1), (3, 1)))
    m.wall("potCentre", ((0, 2), (1, 2)))
    m.wall("potRing", ((1, 2), (2, 2)))
    m.wall("potSide", ((2, 2), (2, 3)))
    m.wall("skirt", ((3, 1), (3, 2)), ((3, 2), (3, 3)))
    m.wall("outlet", ((2, 3), (3, 3)), kind="patch")
    return m


def sunken(Rc, Rp, gb, gs, L, Hc, sunk, gw, cells):
    if not 0 < sunk < L or gw == gs:
        raise ValueError("a sunken row needs 0 < sunk < L and a well gap other than the skirt's")
    radii = [0.0, Rc, Rp, Rp + min(gw, gs), Rp + max(gw, gs)]
    levels = [-Hc, 0.0, gb, gb + sunk, gb + L]
    m = Mesh(radii, lambda i, j: levels[j], cells)
    along = max(60, round(60 * (Rp - Rc) / 0.065))
    well, above = (max(30, round(110 * h / L)) for h in (sunk, L - sunk))
    wide = max(8, round(24 * abs(gs - gw) / min(gw, gs)))
    m.block(0, 0, 44, 60, TO_END, "0.25")
    m.block(0, 1, 44, 30, TO_END, TO_WALLS)
    m.block(1, 1, along, 30, TO_WALLS, TO_WALLS)
    m.block(2, 1, 24, 30, TO_WALLS, TO_WALLS)
    m.block(2, 2, 24, well, TO_WALLS, TO_WALLS)
    m.block(2, 3, 24, above, TO_WALLS, "4")
    m.wall("inlet", ((0, 0), (1, 0)), kind="patch")
    m.wall("chamberWall", ((1, 0), (1, 1)))
    m.wall("potCentre", ((0, 2), (1, 2)))
    m.wall("potRing", ((1, 2), (2, 2)))
    m.wall("potSideWell", ((2, 2), (2, 3)))
    m.wall("potSide", ((2, 3), (2, 4)))
    m.wall("outlet", ((2, 4), (3, 4)), kind="patch")
    m.wall("plate", ((1, 1), (2, 1)), ((2, 1), (3, 1)))
    if gw > gs:
        m.block(3, 1, wide, 30, TO_WALLS, TO_WALLS)
        m.block(3, 2, wide, well, TO_WALLS, TO_WALLS)
        m.wall("plate", ((3, 1), (4, 1)))
        m.wall("skirt", ((4, 1), (4, 2)), ((4, 2), (4, 3)), ((3, 3), (4, 3)), ((3, 3), (3, 4)))
    else:
        m.block(3, 3, wide, above, TO_WALLS, "4")
        m.wall("skirt", ((3, 1), (3, 2)), ((3, 2), (3, 3)), ((3, 3), (4, 3)), ((4, 3), (4, 4)))
        m.wall("outlet", ((3, 4), (4, 4)), kind="patch")
    return m


CONTROL = """application rhoSimpleFoam;startFrom startTime;startTime 0;stopAt endTime;endTime %d;
deltaT 1;writeControl timeStep;writeInterval %d;purgeWrite 1;writeFormat ascii;writePrecision 8;
functions
{
q{type wallHeatFlux;libs (fieldFunctionObjects);patches (%s);writeControl timeStep;writeInterval %d;log no;}
pIn{type surfaceFieldValue;libs (fieldFunctionObjects);fields (p);operation areaAverage;regionType patch;
name inlet;writeFields false;log no;writeControl timeStep;writeInterval %d;}
pOut{type surfaceFieldValue;libs (fieldFunctionObjects);fields (p);operation areaAverage;regionType patch;
name outlet;writeFields false;log no;writeControl timeStep;writeInterval %d;}
tOut{type surfaceFieldValue;libs (fieldFunctionObjects);fields (T h);operation weightedAverage;weightField phi;
regionType patch;name outlet;writeFields false;log no;writeControl timeStep;writeInterval %d;}
}
"""
SCHEMES = """ddtSchemes{default steadyState;}gradSchemes{default Gauss linear;}
divSchemes{default none;div(phi,U) bounded Gauss linearUpwind grad(U);div(phi,h) bounded Gauss linearUpwind grad(h);
div(phi,K) bounded Gauss linear;div(((rho*nuEff)*dev2(T(grad(U))))) Gauss linear;}
laplacianSchemes{default Gauss linear corrected;}interpolationSchemes{default linear;}
snGradSchemes{default corrected;}
"""
SOLUTION = """solvers{p{solver GAMG;smoother DICGaussSeidel;tolerance 1e-10;relTol 0.05;}
"(U|h)"{solver PBiCGStab;preconditioner DILU;tolerance 1e-9;relTol 0.05;}}
SIMPLE{momentumPredictor yes;nNonOrthogonalCorrectors 0;pRefCell 0;pRefValue 101325;
residualControl{p 1e-6;U 1e-6;h 1e-6;}}
relaxationFactors{fields{rho 1.0;p %g;}equations{U %g;h %g;}}
"""
FAST, SLOW = (0.5, 0.7, 0.9), (0.6, 0.3, 0.5)  # relaxation of p, U, h
GAS = """thermoType{type heRhoThermo;mixture pureMixture;transport sutherland;thermo janaf;
equationOfState perfectGas;specie specie;energy sensibleEnthalpy;}
mixture{specie{molWeight %.9g;}thermodynamics{Tlow 200;Thigh 3500;Tcommon 1000;
highCpCoeffs (%s 0);lowCpCoeffs (%s 0);}transport{As 1.4584e-06;Ts 110.4;}}
"""


def write_case(folder, Rc, Rp, gb, gs, L, m, Tin, sagitta=0.0, rise=0.0, sunk=0.0, gw=None, Hc=0.10,
               mesh=1.0, iterations=3600,
               sample=50, relaxation=FAST):
    """Writes one case into folder and returns the names of the pot's patches.

    m kg/s is the flow of the full circle, Tin K the inlet temperature, mesh the factor on the
    number of cells each way, sample the iterations between two records of the results.
    """
    if rise and not 0 < rise < gb + sagitta:
        raise ValueError("the plate must stay below the pot's edge")
    if sunk:
        if sagitta or rise:
            raise ValueError("a row is round or sunken, not both")
        grid = sunken(Rc, Rp, gb, gs, L, Hc, sunk, gw, mesh)
    else:
        grid = flat_or_round(Rc, Rp, gb, gs, L, Hc, sagitta, rise, mesh)
    pot = [k for k in grid.patches if k.startswith("pot")]
    walls = [k for k, (kind, _) in grid.patches.items() if kind == "wall"]

    def write(path, text):
        path = os.path.join(folder, path)
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(path, "w") as f:
            f.write(text)

    def field(name, cls, dimensions, internal, conditions):
        patches = dict(conditions, front="type wedge;", back="type wedge;")
        write("0/" + name, foam_file(cls, name) + "dimensions %s;internalField uniform %s;\nboundaryField\n{\n%s\n}\n"
              % (dimensions, internal, "\n".join("%s{%s}" % kv for kv in patches.items())))

    write("system/blockMeshDict", grid.dictionary())
    write("system/controlDict", foam_file("dictionary", "controlDict")
          + CONTROL % (iterations, iterations, " ".join(pot), sample, sample, sample, sample))
    write("system/fvSchemes", foam_file("dictionary", "fvSchemes") + SCHEMES)
    write("system/fvSolution", foam_file("dictionary", "fvSolution") + SOLUTION % relaxation)
    write("constant/g", foam_file("uniformDimensionedVectorField", "g")
          + "dimensions [0 1 -2 0 0 0 0];value (0 0 -9.80665);\n")
    write("constant/turbulenceProperties", foam_file("dictionary", "turbulenceProperties")
          + "simulationType laminar;\n")
    write("constant/fvOptions", foam_file("dictionary", "fvOptions")
          + "weight{type buoyancyForce;buoyancyForceCoeffs{fields (U);}}\n")
    coefficients = lambda a: " ".join("%.9g" % x for x in a)
    write("constant/thermophysicalProperties", foam_file("dictionary", "thermophysicalProperties")
          + GAS % (1e3 * GAS_KG_MOL, coefficients(GAS_HIGH), coefficients(GAS_LOW)))

    U = {k: "type noSlip;" for k in walls}
    U["inlet"] = ("type flowRateInletVelocity;massFlowRate constant %.9g;rho rho;rhoInlet 0.3;"
                  "value uniform (0 0 1);" % (m * WEDGE_DEG / 360))
    U["outlet"] = "type pressureInletOutletVelocity;value uniform (0 0 1);"
    field("U", "volVectorField", "[0 1 -1 0 0 0 0]", "(0 0 0.1)", U)
    T = {k: "type fixedValue;value uniform %g;" % POT_K if k in pot else "type zeroGradient;" for k in walls}
    T["inlet"] = "type fixedValue;value uniform %g;" % Tin
    T["outlet"] = "type inletOutlet;inletValue uniform 400;value uniform 600;"
    field("T", "volScalarField", "[0 0 0 1 0 0 0]", "%g" % (0.5 * (Tin + POT_K)), T)
    p = {k: "type zeroGradient;" for k in walls + ["inlet"]}
    p["outlet"] = "type fixedValue;value uniform 101325;"
    field("p", "volScalarField", "[1 -1 -2 0 0 0 0]", "101325", p)
    return pot
