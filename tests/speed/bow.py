"""The bow model's draws of bow.mjs in numpy: sections, tang pressure, rod, strings to second order, season and years, over all draws at once.

Reads the prepared neck and the draws from standard input and writes times and differences as JSON.
"""
import json
import sys
import time

import numpy as np

GAUSS = 0.5 - np.sqrt(3) / 6


def arrays(given):
    if isinstance(given, dict):
        return {key: arrays(value) for key, value in given.items()}
    return np.array(given, dtype=float) if isinstance(given, list) and given and isinstance(given[0], (int, float)) else given


def sections(geometry, board_mpa, neck_mpa):
    b, n, bars = geometry["board"], geometry["neck"], geometry["bars"]
    ea_b, ei_b = board_mpa * b["areaMm2"], board_mpa * b["ownMm4"]
    ea_n = neck_mpa * n["areaMm2"] + bars["eaN"]
    z_n = (neck_mpa * n["areaMm2"] * n["centroidMm"] + bars["firstNmm"]) / ea_n
    ei_n = neck_mpa * (n["ownMm4"] + n["areaMm2"] * n["centroidMm"] ** 2) + bars["secondNmm2"] - ea_n * z_n**2
    ea = ea_b + ea_n
    zbar = (ea_b * b["centroidMm"] + ea_n * z_n) / ea
    ei = ei_b + ei_n + ea_b * ea_n / ea * (b["centroidMm"] - z_n) ** 2
    return {"ea": ea, "zbar": zbar, "ei": ei, "eiBoard": ei_b, "eiNeck": ei_n, "eaBoard": ea_b}


def tangs(given, u, board_mpa, at):
    work = given["slots"]
    slots, shape = work["table"], work["shapes"]
    t, d, h, width = (slots[key] for key in ("boardMm", "depthMm", "contactMm", "widthMm"))
    h = h * slots["bearingShare"]
    asked = np.maximum(0, u["interferenceMm"])
    ks = u["contactStiffnessNmm3"] * h / 2
    free, flat = board_mpa * work["freeOverE"], board_mpa * work["flatOverE"]
    ea, ei, ei_board, ybar = at["ea"] / width, at["ei"] / width, at["eiBoard"] / width, at["zbar"]
    arm = t - d / 2 - ybar
    reach = work["gluedReachMm"] * (1 - board_mpa * d / ea - board_mpa * d * arm**2 / ei)
    glued = board_mpa * 2 * work["gluedAloneOverE"] / (np.tanh(work["gapBeforeMm"] / reach) + np.tanh(work["gapAfterMm"] / reach))
    yields = u["crushingMPa"] * h
    in_flat = np.minimum(np.minimum(asked, yields * (1 / free + 1 / ks)), yields * (1 / flat + 1 / ks))
    phi = ks / (ks + free)
    linear = phi - 0.15 * phi**2 * (1 - phi)
    a_held = shape["a0"] * (1 + phi**2 * shape["aTwoWay"])
    phi_glued = ks / (ks + glued)
    chi_glued = shape["chiGlued"] + shape["chiGluedPhi"] * phi_glued**2
    lam = chi_glued * board_mpa * d * arm / ei
    pitch = work["pitchMm"]
    board_star = ei_board / (1 + ei_board * (a_held / t) ** 2 / ((free + ks) * pitch))
    composite_star = ei / (1 + ei * lam**2 / ((glued + ks) * pitch))
    return {
        "glued": shape["gamma"] * a_held / t * in_flat * linear * board_star / composite_star,
        "perNmm": lam**2 / ((glued + ks) * width),
        "perN": lam * chi_glued * board_mpa * d / ea / ((glued + ks) * width),
    }


def final_reliefs(given, u):
    """Relief after all stages of every draw; `u` holds one column for each unknown."""
    node, point = given["grid"]["nodeMm"], given["grid"]["pointMm"]
    slot_node, joint = given["slotNode"].astype(int), int(given["jointNode"])
    weights, at_nodes = given["influence"]["pointMm2"], given["influence"]["nodeMm"]
    board, neck = given["moduli"]["boardMPa"] * u["boardStiffness"], given["moduli"]["neckMPa"] * u["neckStiffness"]
    along, at = sections(given["points"], board, neck), sections(given["atSlots"], board, neck)
    tang = tangs(given, u, board, at)
    span, held = given["span"], 2 * joint
    at_slots = at_nodes[slot_node]

    even = 2 * u["neckFaceBowMm"] / span
    relief = (even * along["eiNeck"] / along["ei"]) @ weights + (even * at["eiNeck"] * tang["perNmm"] - tang["glued"]) @ at_slots

    rod = given["rod"]
    half = np.repeat(np.diff(node) / 2, 2)
    inside = (point > rod["fromMm"]) & (point < min(rod["toMm"], node[joint]))
    slots_in = (node[slot_node] > rod["fromMm"] + 1e-6) & (node[slot_node] < min(rod["toMm"], node[joint]) - 1e-6)
    bend = (inside / along["ei"]) @ half + tang["perNmm"] @ slots_in.astype(float)
    turns = given["rodTurns"]
    travel = rod["leadMmPerTurn"] * np.maximum(0, turns - u["rodDeadZoneTurns"]) * u["rodResponse"]
    moment = travel[:, 0] / (rod["spacingMm"] * bend + (rod["toMm"] - rod["fromMm"]) / rod["spacingMm"] * 2 / rod["memberN"])
    lasting = -moment * ((inside / along["ei"]) @ weights + (tang["perNmm"] * slots_in) @ at_slots)

    pull = given["pull"]
    tension = pull["tensionN"] * u["stringTension"]
    cells, slack = slice(0, held), (point < node[joint])
    on = (node[slot_node] < node[joint] - 1e-6)
    h = np.diff(node[: joint + 1])
    rise_p, rise_n = np.zeros((len(tension), len(point))), np.zeros((len(tension), len(node)))
    before = None
    for _ in range(60):
        start = rise_n[:, :1]
        line = lambda x: pull["zNutMm"] + u["stringHeightMm"] + start + (pull["zSaddleMm"] - pull["zNutMm"] - start) * x / pull["saddleMm"]
        curvature = np.where(slack, tension * (line(point) - along["zbar"] - rise_p) / along["ei"], 0)
        kink = np.where(on, tension * (tang["perNmm"] * (line(node[slot_node]) - at["zbar"] - rise_n[:, slot_node]) + tang["perN"]), 0)
        if before is not None and np.max(np.abs(curvature - before)) <= 1e-12 * np.max(np.abs(curvature)):
            break
        before = curvature
        first, second = curvature[:, 0:held:2], curvature[:, 1:held:2]
        kinks = np.zeros_like(rise_n)
        kinks[:, slot_node] = kink
        gain = h / 2 * (first + second)
        slope = np.cumsum(kinks[:, :joint], axis=1) + np.cumsum(gain, axis=1) - gain
        part = lambda s: (s * s / 2 - (s**3 / 6 - GAUSS * s * s / 2) / (1 - 2 * GAUSS), (s**3 / 6 - GAUSS * s * s / 2) / (1 - 2 * GAUSS))
        inner = lambda s: h * (slope * s + h * (part(s)[0] * first + part(s)[1] * second))
        v = np.concatenate([np.zeros((len(tension), 1)), np.cumsum(inner(1.0), axis=1)], axis=1)
        end, last = v[:, -1:], slope[:, -1:] + gain[:, -1:]
        rise_n[:, : joint + 1] = v - end - last * (node[: joint + 1] - node[joint])
        for offset, s in ((0, GAUSS), (1, 1 - GAUSS)):
            rise_p[:, offset:held:2] = v[:, :-1] + inner(s) - end - last * (point[offset:held:2] - node[joint])
    lasting = lasting + curvature @ weights + kink @ at_slots

    z_b, z_n = given["points"]["board"]["centroidMm"], given["points"]["neck"]["centroidMm"]
    board_n, neck_n = along["eaBoard"] * u["boardSeasonStrain"], neck * given["points"]["neck"]["areaMm2"] * u["neckSeasonStrain"]
    season = np.where(np.arange(len(point)) < held, -(board_n * (z_b - along["zbar"]) + neck_n * (z_n - along["zbar"])) / along["ei"], 0)
    slots, z_slot_b, z_slot_n = given["slots"]["table"], given["atSlots"]["board"]["centroidMm"], given["atSlots"]["neck"]["centroidMm"]
    slot_b, slot_n = at["eaBoard"] * u["boardSeasonStrain"], neck * given["atSlots"]["neck"]["areaMm2"] * u["neckSeasonStrain"]
    bend_at = -(slot_b * (z_slot_b - at["zbar"]) + slot_n * (z_slot_n - at["zbar"])) / at["ei"]
    strain = (slot_b + slot_n) / at["ea"] - bend_at * (slots["boardMm"] - slots["depthMm"] / 2 - at["zbar"]) - u["boardSeasonStrain"]
    relief = relief + (-tang["perN"] * at["ea"] * strain * on) @ at_slots
    return relief + u["settling"][:, 0] * lasting + season @ weights


def main():
    raw = json.load(sys.stdin)
    given = arrays({key: value for key, value in raw.items() if key not in ("draws", "slots")})
    slots = raw["slots"]
    given["slots"] = {**arrays({key: value for key, value in slots.items() if key not in ("slots", "shape")}),
                      "table": {key: np.array([slot[key] for slot in slots["slots"]]) for key in slots["slots"][0]},
                      "shapes": {key: np.array([shape[key] for shape in slots["shape"]]) for key in slots["shape"][0]}}
    table = {key: np.array([[draw[key]] for draw in raw["draws"]]) for key in raw["draws"][0]}
    triangle = given["influence"]["nodeMm"].max()
    span_nodes = np.nonzero(given["influence"]["nodeMm"])[0]
    nodes = given["grid"]["nodeMm"]
    middle, low, high = nodes[np.argmax(given["influence"]["nodeMm"])], nodes[span_nodes[0] - 1], nodes[span_nodes[-1] + 1]
    assert abs(triangle - (middle - low) * (high - middle) / (high - low)) < 1e-9
    given["span"] = (middle - low) * (high - middle)

    def timed(run, per):
        times = []
        run()
        for _ in range(int(raw["repeats"])):
            start = time.process_time()
            run()
            times.append(1000 * (time.process_time() - start) / per)
        return float(np.median(times))

    ones = [{key: value[row : row + 1] for key, value in table.items()} for row in range(100)]
    shift = float(np.max(np.abs(final_reliefs(given, table) - np.array(raw["finals"]))))
    one_ms = timed(lambda: [final_reliefs(given, one) for one in ones], len(ones))
    batch_ms = timed(lambda: final_reliefs(given, table), len(raw["draws"]))
    print(json.dumps({"numpy": np.__version__, "oneMs": one_ms, "batchMs": batch_ms, "mostShiftMm": shift}))


main()
