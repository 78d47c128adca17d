"""Which formulas have a text of their own, and why no function of the service writes them.

A lone symbol ("f_i = f") calculates nothing: it says that a value is taken as it is. Every other one is listed here.
"""

import ast
from collections.abc import Mapping

from closeup_service.worked.formula import Formula
from closeup_service.worked.registry import formulas

REASONS: Mapping[str, tuple[str, ...]] = {
    "The service adds up lengths over all parts of a train; the step shows one addition of them.": (
        "a_a = a_c + l_e",
        "s_f = a_f + l_h",
        "g_i = a_a + a_f",
        "g_i = a_a + R_c",
        "L = s + l_s",
        "L_r = L - WD",
    ),
    "The service keeps the sign of the magnification, or the power, and turns it only in the result.": (
        "f_e = -1 / C_m",
        "m = abs(A)",
    ),
    "The service compares all stops and keeps the inverse of each value; the step shows the one that limits.": (
        "NA = r_p / abs(y_p)",
        "z = y_p / A_p",
    ),
    "The service calculates it by numpy for many values at once; the step shows one of them, in focus.": (
        "v = min(q_N / q_c, 1)",
        "K_N = 2 / pi * (acos(v) - v * sqrt(1 - v ** 2))",
        "v = min(q / q_c, 1)",
        "K = 2 / pi * (acos(v) - v * sqrt(1 - v ** 2))",
        "K_p = K * abs(sin(pi * g * u * q / 1000) / (pi * g * u * q / 1000))",
    ),
    "The form of a general formula in one case, shorter than the general one with 0 put in.": (
        "x_0 = T / 2",
        "Q_l = (1000 * GN_all / D) ** 2",
        "D = 1000 * GN_all / N_eff * sqrt(k_g)",
        "k_i = (r_l / D) ** 2",
        "GN_all = GN * sqrt(n_h)",
        "t_max = B_max / (1000 * m * sqrt(v_s ** 2 + (l * omega) ** 2))",
        "u_2 = sqrt(3) / 2 * (u_theta * pi / 180) ** 2",
    ),
    "The sum of results of the steps before it, of which the service knows only the whole.": (
        "x_0 = x_g + x_w",
        "G = G_a + G_T + G_S + G_t",
        "G = G_a + G_T + G_S + G_E + G_D + G_n",
        "x_l = x_1 + T_f",
    ),
    "The service turns each setting of a flash into stops of its scale; the step shows it in the scale itself.": (
        "G_E = log2(E_2 / E_1)",
        "G_E = (E_2 - E_1) * k_E",
        "G_E = E_1 - E_2",
        "E_2 = E_1 * 2 ** (-G)",
        "E_2 = E_1 - G / k_E",
        "E_2 = E_1 + G",
    ),
    "The service rounds with a tolerance, and refuses what leaves a gap.": (
        "n_pw = roundup(n_px)",
        "d_f = max(1, rounddown(d_d / (d_r / 1000))) * d_r / 1000",
    ),
    "The service calculates it in radians with powers of the tangent; the step shows degrees.": (
        "u_2 = sqrt(tan(theta * pi / 180) ** 2 * (u_theta * pi / 180) ** 2 + (1 + tan(theta * pi / 180) ** 2) * "
        "(0.75 + 2.75 * tan(theta * pi / 180) ** 2) * (u_theta * pi / 180) ** 4)",
    ),
    "The service fits all frames at once, in columns; the step shows one frame.": (
        "m_f = (e + e_f + e_0) / f",
        "m_f = (R_c + e + a) / f - 1",
        "m_d = m - m_f",
    ),
}


def test_every_formula_with_a_text_of_its_own_is_listed_with_the_reason() -> None:
    own = [each for several in formulas().values() for each in several if type(each) is Formula]
    calculating = sorted(each.text for each in own if not isinstance(each.tree, ast.Name))
    assert calculating == sorted(text for texts in REASONS.values() for text in texts)
