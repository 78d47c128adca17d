// Uses the types generated from the published document against a running service.
import type { components, paths } from "./api";

declare const process: { argv: string[]; exitCode: number };

type Posted = {
  [P in keyof paths]: paths[P] extends {
    post: { requestBody: { content: { "application/json": unknown } } };
  }
    ? P
    : never;
}[keyof paths];
type Body<P extends Posted> = paths[P] extends {
  post: { requestBody: { content: { "application/json": infer B } } };
}
  ? B
  : never;
type Answer<P extends Posted> = paths[P] extends {
  post: { responses: { 200: { content: { "application/json": infer A } } } };
}
  ? A
  : never;
type Problem = components["schemas"]["Problem"];

const base = process.argv[2] ?? "";
let failed = 0;

async function send<P extends Posted>(path: P, body: Body<P>): Promise<Response> {
  return fetch(base + path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
}

async function ask<P extends Posted>(path: P, body: Body<P>): Promise<Answer<P>> {
  const response = await send(path, body);
  if (response.status !== 200) {
    throw new Error(`${path}: ${response.status} ${await response.text()}`);
  }
  return (await response.json()) as Answer<P>;
}

function near(what: string, value: number | null, expected: number): void {
  if (value === null || Math.abs(value - expected) > 1e-9 * Math.abs(expected)) {
    failed += 1;
    console.error(`${what}: ${value}, expected ${expected}`);
  }
}

// Sensor width over subject width.
const frame = await ask("/v1/magnification", { subject_width_mm: 15, sensor: "23.5x15.6" });
near("magnification", frame.magnification, 23.5 / 15);

// A reversed lens: its register and f / m.
const distance = await ask("/v1/working-distance", {
  mounting: "reversed",
  focal_length_mm: 35,
  magnification: 2,
  lens_register_mm: 45.46,
});
near("working_distance_mm", distance.working_distance_mm, 45.46 + 35 / 2);

// N (1 + m / p).
const aperture = await ask("/v1/effective-f-number", { f_number: 8, magnification: 1, pupil_magnification: 2 });
near("effective_f_number", aperture.effective_f_number, 12);

// 2 c N_eff / m^2 without a focal length.
const depth = await ask("/v1/depth-of-field", {
  f_number: 8,
  magnification: 2,
  circle_of_confusion_mm: 0.02,
  model: "geometric",
});
near("total_mm", depth.total_mm, (2 * 0.02 * 24) / 4);

// Register, tube and principal plane over the focal length, less one.
const lens: components["schemas"]["Lens"] = {
  element: "lens",
  reversed: true,
  focal_length_mm: 35,
  front_principal_plane_mm: 21,
};
const setUp = await ask("/v1/set-ups/evaluate", {
  camera: { register_mm: 18 },
  train: [lens, { element: "spacer", length_mm: 31 }],
});
near("magnification of the set-up", setUp.magnification, (18 + 31 + 21) / 35 - 1);

const refused = await send("/v1/working-distance", { mounting: "reversed", focal_length_mm: 35, magnification: 1 });
const problem = (await refused.json()) as Problem;
near("status of a refusal", problem.status, 422);
if (problem.errors[0]?.pointer !== "/lens_register_mm") {
  failed += 1;
  console.error(`pointer of a refusal: ${problem.errors[0]?.pointer}`);
}

process.exitCode = failed === 0 ? 0 : 1;
