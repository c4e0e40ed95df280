// Runs a batch over HTTP the way a tablet would, for whichever test needs one.
import assert from "node:assert/strict";

let made = 0;
export const entryId = () => `entry-${process.pid}-${++made}`;

export class Floor {
  constructor(server, batchId, state) {
    this.server = server;
    this.batchId = batchId;
    this.state = state;
  }

  static async start(server, lotId) {
    const { lot } = (await server.get(`/api/lots/${lotId}/plan`)).json;
    const r = await server.post(`/api/lots/${lotId}/batches`, { revision: lot.revision });
    assert.equal(r.status, 200, r.text.slice(0, 400));
    return new Floor(server, r.json.batch.batch_id, r.json);
  }

  // The answer of the server, whatever it is.
  send(entry) {
    return this.server.post(`/api/batches/${this.batchId}/events`, { entry_id: entryId(), ...entry });
  }

  // One that must be taken.
  async enter(entry) {
    const r = await this.send(entry);
    assert.equal(r.status, 200, `${JSON.stringify(entry)}: ${r.text.slice(0, 500)}`);
    this.state = r.json.state;
    return r.json;
  }

  step(key) {
    return this.state.steps.find((s) => s.key === key);
  }

  async weigh(step) {
    for (const item of step.items) {
      await this.enter({ kind: "weighed", step: step.key, item: item.item, material_id: item.material_id, mass_mg: item.mass_mg, manual: true });
    }
  }

  // A value inside the limits of a check.
  static inside({ check }) {
    if (check.low !== null && check.high !== null) return (check.low + check.high) / 2;
    return check.low ?? check.high ?? (check.kind === "sample" ? check.most : check.least); // looked at: 1 is good
  }

  // Goes on until `until(step)` says so, or nothing is left.
  async run(until = () => false) {
    for (let guard = 0; guard < 2000; guard++) {
      const step = this.state.steps[this.state.now];
      if (!step || until(step)) return step;
      const waiting = this.state.steps.find((s) => s.state === "waiting");
      const at = step.state === "running" && step.beside && waiting ? waiting : step;
      if (at.kind === "check") await this.enter({ kind: "reading", step: at.key, value: Floor.inside(at) });
      else if (at.state === "running") await this.enter({ kind: "step-ended", step: at.key });
      else {
        if (at.items.length > 0) await this.weigh(at);
        const r = await this.send({ kind: "step-begun", step: at.key });
        if (r.status === 200) this.state = r.json.state;
        else if (step !== at) await this.enter({ kind: "step-ended", step: step.key }); // nothing more runs beside it
        else assert.fail(r.text);
      }
    }
    assert.fail("the batch does not come to an end");
  }
}
