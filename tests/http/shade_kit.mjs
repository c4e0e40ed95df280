// A lot of a shade that the demo laboratory can correct, and samples of it as a cutting would measure.
import assert from "node:assert/strict";

export const SHADE = "S-212";
export const LOT = "L26-0110";
export const SUBSTRATE = "J18-ISO60";
/** The dip that was approved, in the order of its dyes. */
export const RECIPE = { "RG-1": 0.0893, "RR-1": 0.0348, "RB-1": 0.0838 };
const NM = Array.from({ length: 31 }, (_, i) => 400 + 10 * i);

const words = (parts) => Object.entries(RECIPE).map(([dye, depth], i) => `${dye}=${+(depth * parts[i]).toPrecision(9)}`).join(",");

/** The shade gets the recipe of its approved dip, whose dyes have ladders. */
export async function calibrate(server) {
  const shade = (await server.get("/api/laboratory")).json.shades.find((x) => x.shade_id === SHADE);
  const r = await server.put(`/api/shades/${SHADE}/recipe`, { recipe: words([1, 1, 1]), was: shade.recipe });
  assert.equal(r.status, 200, r.text);
}

/** Reflectances, %, of a cutting on which each dye worked like this part of its dose. */
export async function cutting(server, parts) {
  const r = await server.post("/api/recipe", { do: "predict", recipe: words(parts), from: { substrate: SUBSTRATE, shade: SHADE } });
  assert.equal(r.status, 200, r.text);
  return r.json.curves.predicted.map((v) => +(100 * v).toFixed(3));
}

/** One name a curve. */
export const file = (curves, name = "cutting.csv") => ({ name, text: [`name,${NM.join(",")}`, ...Object.entries(curves).map(([n, v]) => `${n},${v.join(",")}`), ""].join("\n") });
export const posted = (curve) => ({ file: file({ cutting: curve }), specular: "included" });
