"""The net against the toolkit of the public-domain EPANET 2.2/2.3: 200 seeded random nets.

Loops, one or two reservoirs, pumps, check valves, emitters, fittings. Heads and flows must agree
to 1e-4 of the largest in the net. The reference rounds g to 32.2 ft/s2 and a cubic foot to
28.317 L; the fittings are handed over for its g.
"""

import warnings

import numpy as np
import pytest

from eavewell.hydraulics.network import Link, Network, Node, solve

toolkit = pytest.importorskip("epanet.toolkit", reason="no EPANET for this Python: 3.13 has none")
NETS = 200
STATUS_L_S = 1e-4 * 28.317
G_RATIO = 32.2 / (9.80665 / 0.3048)


def random_net(seed):
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 16))
    sources = [Node("R0", 0.0, float(rng.uniform(25, 40)))]
    if rng.random() < 0.4:
        sources.append(Node("R1", 0.0, float(rng.uniform(25, 40))))
    emitting = set(rng.choice(count, int(rng.integers(0, count // 2 + 1)), replace=False).tolist())
    inner = [
        Node(
            f"N{i}",
            float(rng.uniform(0, 8)),
            demand_l_s=0.0 if i in emitting else float(rng.uniform(0.0, 0.25)),
            emitter_k=float(rng.uniform(0.005, 0.08)) if i in emitting else 0.0,
        )
        for i in range(count)
    ]
    links = [random_link("L0", "R0", "N0", rng, pump=rng.random() < 0.4)]
    links += [random_link(f"L{i}", f"N{rng.integers(0, i)}", f"N{i}", rng) for i in range(1, count)]
    if len(sources) > 1:
        at = f"N{rng.integers(0, count)}"
        links.append(random_link("LR", "R1", at, rng, one_way=rng.random() < 0.6))
    for j in range(int(rng.integers(0, count // 2 + 1))):
        a, b = rng.choice(count, 2, replace=False)
        one_way = rng.random() < 0.3
        links.append(random_link(f"X{j}", f"N{a}", f"N{b}", rng, one_way=one_way))
    return Network((*sources, *inner), tuple(links))


def random_link(name, start, end, rng, *, pump=False, one_way=False):
    if pump:
        top, most = rng.uniform(15, 40), rng.uniform(6, 12)
        curve = tuple(
            (float(most * x), float(top * (1 - x**1.8))) for x in (0.0, 0.2, 0.45, 0.7, 1.0)
        )
        return Link(name, start, end, curve=curve)
    return Link(
        name,
        start,
        end,
        bore_mm=float(rng.uniform(25, 75)),
        length_m=float(rng.uniform(5, 120)),
        roughness_c=float(rng.choice([100.0, 130.0, 150.0])),
        k=float(rng.choice([0.0, 2.0, 6.0])),
        one_way=one_way,
    )


def as_input(net):
    parts = {name: [] for name in ("JUNCTIONS", "RESERVOIRS", "PIPES", "PUMPS", "CURVES")}
    parts |= {"EMITTERS": []}
    for node in net.nodes:
        if node.head_m is not None:
            parts["RESERVOIRS"].append(f"{node.name} {node.head_m!r}")
            continue
        parts["JUNCTIONS"].append(f"{node.name} {node.level_m!r} {node.demand_l_s!r}")
        if node.emitter_k:
            parts["EMITTERS"].append(f"{node.name} {node.emitter_k!r}")
    for link in net.links:
        ends = f"{link.name} {link.start} {link.end}"
        if link.curve:
            parts["PUMPS"].append(f"{ends} HEAD C{link.name}")
            parts["CURVES"] += [f"C{link.name} {flow!r} {head!r}" for flow, head in link.curve]
        else:
            fittings = link.k * G_RATIO
            state = "CV" if link.one_way else "Open"
            size = f"{link.length_m!r} {link.bore_mm!r} {link.roughness_c!r} {fittings!r}"
            parts["PIPES"].append(f"{ends} {size} {state}")
    options = "UNITS LPS\nHEADLOSS H-W\nACCURACY 1e-8\nTRIALS 500\nEMITTER EXPONENT 0.5\n"
    options += "BACKFLOW ALLOWED NO\nUNBALANCED CONTINUE 20\n"
    text = "[TITLE]\nmade up\n"
    text += "".join(f"[{name}]\n" + "\n".join(rows) + "\n" for name, rows in parts.items())
    return f"{text}[OPTIONS]\n{options}[TIMES]\nDURATION 0\n[REPORT]\nSTATUS NO\n[END]\n"


def reference(net, folder):
    file = folder / "net.inp"
    file.write_text(as_input(net), encoding="utf-8")
    with warnings.catch_warnings():
        # it warns of pressures below nothing, which a random net may have
        warnings.simplefilter("ignore")
        return run(net, file, folder)


def run(net, file, folder):
    project = toolkit.createproject()
    toolkit.open(project, str(file), str(folder / "net.rpt"), "")
    toolkit.openH(project)
    toolkit.initH(project, 0)
    toolkit.runH(project)
    heads = {
        node.name: toolkit.getnodevalue(
            project, toolkit.getnodeindex(project, node.name), toolkit.HEAD
        )
        for node in net.nodes
    }
    flows = {
        link.name: toolkit.getlinkvalue(
            project, toolkit.getlinkindex(project, link.name), toolkit.FLOW
        )
        for link in net.links
    }
    toolkit.closeH(project)
    toolkit.close(project)
    toolkit.deleteproject(project)
    return heads, flows


@pytest.mark.parametrize("block", range(10))
def test_two_hundred_random_nets(block, tmp_path):
    for seed in range(block * NETS // 10, (block + 1) * NETS // 10):
        net = random_net(seed)
        found = solve(net)
        heads, flows = reference(net, tmp_path)
        most_head, most_flow = max(heads.values()), max(abs(flow) for flow in flows.values())
        for name, head in heads.items():
            ours = found.head_m[name]
            assert ours == pytest.approx(head, abs=1e-4 * most_head), (seed, name)
        for link in net.links:
            # below 1e-4 ft3/s the reference does not tell an open check valve from a shut one
            least = STATUS_L_S if link.one_way else 0.0
            ours, theirs = found.flow_l_s[link.name], flows[link.name]
            assert ours == pytest.approx(theirs, abs=max(1e-4 * most_flow, least)), (seed, link)
        assert found.mass_l_s < 1e-7


def test_the_nets_have_loops_pumps_valves_and_emitters():
    nets = [random_net(seed) for seed in range(NETS)]
    assert sum(len(net.links) > len(net.nodes) - 1 for net in nets) > NETS / 2
    assert sum(any(link.curve for link in net.links) for net in nets) > NETS / 4
    assert sum(any(link.one_way for link in net.links) for net in nets) > NETS / 4
    assert sum(any(node.emitter_k for node in net.nodes) for net in nets) > NETS / 2
