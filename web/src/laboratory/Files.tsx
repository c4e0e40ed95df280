// Which files the laboratory works with: dropped, chosen, or the demo samples.
import type { JSX } from "preact";
import { signal } from "@preact/signals";
import { useId } from "preact/hooks";
import { Shape } from "../ui/parts";
import { bench, useMill } from "./bench";
import { FILE_MAX_BYTES, files, isDemo, swapFile, take, takeDemo, withFile } from "./state";
import { FILE_KEYS, type FileKey, type LabFiles } from "./types";
import { w } from "./words";

/** What is wrong with a file before it is sent. */
const refused = signal<string | null>(null);

export async function takeFiles(list: FileList | null): Promise<void> {
  if (!list?.length) return;
  const given = [...list];
  const large = given.find((file) => file.size > FILE_MAX_BYTES);
  refused.value = large ? w.tooLarge(large.name) : null;
  if (large) return;
  let all: LabFiles = isDemo.peek() ? {} : (files.peek() ?? {});
  // New samples are a new start; a table of the dyes may come after them.
  const texts = await Promise.all(given.map(async (file) => ({ name: file.name, text: await file.text() })));
  for (const file of texts) all = withFile(all, file);
  take(all, false);
}

function Choose({ word, strong }: { word: string; strong?: boolean }): JSX.Element {
  const id = useId();
  return (
    <span class="lab-choose">
      <input id={id} type="file" multiple accept=".csv,.txt,.cgats,.cxf,.xml,text/*" onChange={(event) => { void takeFiles(event.currentTarget.files); event.currentTarget.value = ""; }} />
      <label class={strong ? "button button-strong" : "button"} for={id}>{word}</label>
    </span>
  );
}

export function FilesStart(): JSX.Element {
  return (
    <section class="lab-start">
      <p class="lab-start-lead">{w.lead}</p>
      <div class="lab-drop">
        <p>{w.drop}</p>
        <div class="lab-start-ways">
          <Choose word={w.choose} strong />
          <button type="button" class="button" onClick={() => void takeDemo()}>{w.demo}</button>
          <UseMill />
        </div>
        <p class="muted">{w.howTo}</p>
      </div>
      {refused.value ? <p class="field-say" role="alert">{refused.value}</p> : null}
    </section>
  );
}

function UseMill(): JSX.Element | null {
  return bench.value?.substrates.some((s) => s.cloth && s.rungs > 0) ? <button type="button" class="button" onClick={useMill}>{w.useMill}</button> : null;
}

export function FilesBar(): JSX.Element {
  const all = files.value ?? {};
  const given = FILE_KEYS.filter((key) => all[key]);
  return (
    <section class="lab-files" aria-label={w.files}>
      {isDemo.value ? <p class="lab-invented"><Shape kind="note" /> {w.invented}</p> : (
        <ul>{given.map((key) => <li key={key}><FileUse of={key} name={all[key]?.name ?? ""} /></li>)}</ul>
      )}
      <Choose word={w.chooseOther} />
      {isDemo.value ? null : <button type="button" class="button" onClick={() => void takeDemo()}>{w.demo}</button>}
      <UseMill />
      {refused.value || !all.spectra ? <p class="field-say" role="alert">{refused.value ?? w.noSpectra}</p> : null}
    </section>
  );
}

function FileUse({ of, name }: { of: FileKey; name: string }): JSX.Element {
  const id = useId();
  return (
    <span class="field">
      <label for={id}>{w.fileIs(name)}</label>
      <select class="select" id={id} value={of} onChange={(event) => swapFile(of, event.currentTarget.value as FileKey)}>
        {FILE_KEYS.map((key) => <option key={key} value={key}>{w.fileOf[key]}</option>)}
      </select>
    </span>
  );
}
