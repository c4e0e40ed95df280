import type { JSX } from "preact";
import { api, legible } from "../api";
import { Empty, FindingText, Ready, Shape } from "../ui/parts";
import { href } from "../place";
import { useResource } from "../ui/resource";
import { words } from "../words";
import "./check.css";

const w = words.checkPage;

export function CheckPage(): JSX.Element {
  const check = useResource("check", api.check);
  return (
    <>
      <div class="page-head">
        <h1>{w.title}</h1>
        {check.data ? <p class="page-count">{w.count(check.data.total)}</p> : null}
      </div>
      <p class="lead">{w.lead}</p>
      <Ready of={check}>
        {({ findings, total }) => findings.length ? (
          <>
            <ol class="findings">
              {findings.map((finding, i) => (
                <li key={i}><Shape kind="warning" /><div><p class="findings-place"><Place place={finding.place} /></p><FindingText finding={legible(finding)} place={false} /></div></li>
              ))}
            </ol>
            {total > findings.length ? <p>{w.shownOf(findings.length, total)}</p> : null}
          </>
        ) : <Empty><Shape kind="ok" /> {w.clean}</Empty>}
      </Ready>
    </>
  );
}

/** "lot L26-0117, bath 5, step 6" leads to that lot's plan. */
function Place({ place }: { place: string }): JSX.Element {
  const found = /^lot ([^\s,]+)(.*)$/.exec(place);
  if (!found?.[1]) return <>{place}</>;
  return <><a class="findings-lot" href={href(["lots", found[1]])}>lot {found[1]}</a>{found[2]}</>;
}
