"""Plates and pins by finite elements (scikit-fem), for comparison with closed formulas."""

import numpy as np
from skfem import (
    Basis,
    BilinearForm,
    ElementLineHermite,
    ElementQuad2,
    ElementQuadBFS,
    ElementVector,
    FacetBasis,
    InteriorFacetBasis,
    LinearForm,
    MeshLine,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import dd, ddot, sym_grad, trace

POISSON = 0.3


def strip_moment_peak(span_m: float, width_m: float, lug_m: float, cells: int = 20) -> float:
    """Largest moment over width along the load, of a Kirchhoff plate on two simple supports with a unit force
    spread along a lug in its middle.
    """
    along = np.linspace(0.0, span_m, cells + 1)
    edges = np.linspace(0.0, width_m, cells + 1)
    ends = ((width_m - lug_m) / 2.0, (width_m + lug_m) / 2.0)
    mesh = MeshQuad.init_tensor(along, np.unique(np.concatenate([edges, ends])))
    basis = Basis(mesh, ElementQuadBFS(), intorder=5)

    @BilinearForm
    def stiffness(u, v, _):
        a, b = dd(u), dd(v)
        return (1.0 - POISSON) * ddot(a, b) + POISSON * (a[0, 0] + a[1, 1]) * (b[0, 0] + b[1, 1])

    under = mesh.facets_satisfying(
        lambda x: (np.abs(x[0] - span_m / 2) < 1e-9) & (x[1] > ends[0]) & (x[1] < ends[1])
    )
    load = LinearForm(lambda v, _: v / lug_m).assemble(
        InteriorFacetBasis(mesh, ElementQuadBFS(), facets=under, intorder=5)
    )
    held = basis.get_dofs(lambda x: (np.abs(x[0]) < 1e-9) | (np.abs(x[0] - span_m) < 1e-9))
    sunk = solve(*condense(stiffness.assemble(basis), load, D=held.all(["u", "u_y"])))
    bent = dd(basis.interpolate(sunk))
    return float(np.max(np.abs(bent[0, 0] + POISSON * bent[1, 1])))


def prying(arm_m: float, edge_m: float, thickness_m: float) -> tuple[float, float]:
    """Force at the resting edge, and moment in the middle, of half a T-stub of unit width under a unit pull:
    plane stress, the bolt a point that does not move.
    """
    long_m = arm_m + edge_m
    cells = round(long_m / thickness_m * 4)
    places = np.unique(np.concatenate([np.linspace(0, arm_m, cells), np.linspace(arm_m, long_m, cells)]))
    mesh = MeshQuad.init_tensor(places, np.linspace(0.0, thickness_m, 5))
    element = ElementVector(ElementQuad2())
    basis = Basis(mesh, element)
    stiff, shear = 1.0 / (1.0 - POISSON**2), 0.5 / (1.0 + POISSON)

    def stress(u):
        strain = sym_grad(u)
        return 2.0 * shear * strain + stiff * POISSON * (trace(strain) * np.eye(2)[:, :, None, None])

    @BilinearForm
    def stiffness(u, v, _):
        return ddot(stress(u), sym_grad(v))

    matrix = stiffness.assemble(basis)
    middle = mesh.facets_satisfying(lambda x: x[0] < 1e-9)
    pull = LinearForm(lambda v, _: v[1] / thickness_m).assemble(FacetBasis(mesh, element, facets=middle))
    symmetric = basis.get_dofs(lambda x: x[0] < 1e-9).all(["u^1"])

    def upright(x, y):
        return basis.get_dofs(nodes=np.array([np.argmin(np.hypot(mesh.p[0] - x, mesh.p[1] - y))])).all(
            ["u^2"]
        )

    bolt, tip = upright(arm_m, thickness_m / 2), upright(long_m, 0.0)
    moved = solve(*condense(matrix, pull, D=np.concatenate([symmetric, bolt, tip])))
    reaction = matrix @ moved - pull
    at_edge = float(reaction[tip][0])
    sides = FacetBasis(mesh, element, facets=middle, intorder=5)
    along = stress(sides.interpolate(moved))[0, 0]
    lever = np.asarray(sides.global_coordinates())[1] - thickness_m / 2
    return at_edge, abs(float(np.sum(along * lever * sides.dx)))


def pin_moment_peak(lug_m: float, eye_m: float, gap_m: float) -> float:
    """Largest moment in a beam pressed evenly by a unit force over the eye and held evenly by two lugs."""
    half = eye_m / 2 + gap_m + lug_m
    stops = np.array([0.0, lug_m, lug_m + gap_m, lug_m + gap_m + eye_m, half * 2 - lug_m, half * 2])
    places = np.unique(
        np.concatenate([np.linspace(a, b, 25) for a, b in zip(stops, stops[1:], strict=False)])
    )
    mesh = MeshLine(places)
    basis = Basis(mesh, ElementLineHermite(), intorder=5)
    stiffness = BilinearForm(lambda u, v, _: ddot(dd(u), dd(v))).assemble(basis)

    @LinearForm
    def load(v, w):
        eye = (w.x[0] > stops[2]) & (w.x[0] < stops[3])
        lugs = (w.x[0] < stops[1]) | (w.x[0] > stops[4])
        return (eye / eye_m - lugs / (2 * lug_m)) * v

    ends = basis.get_dofs(lambda x: (x[0] < 1e-12) | (x[0] > 2 * half - 1e-12)).all(["u"])
    bent = solve(*condense(stiffness, load.assemble(basis), D=ends))
    return float(np.max(np.abs(dd(basis.interpolate(bent))[0, 0])))
