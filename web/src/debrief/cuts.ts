/** Events that cut through the river of a debrief, with what a what-if takes away, moves or adds. */
import type { LogLine } from '../lib/proto';
import type { Cut } from '../lib/river_top';
import type { Answered } from './what_if.svelte';

/** Below zero: no entry of the log has it. */
const ELSEWHERE = -1;

export function changedCuts(log: readonly LogLine[], isPicked: (line: LogLine) => boolean, what: Answered | null): Cut[] {
  const gone = what?.about?.seq ?? null;
  const cuts: Cut[] = log
    .filter((line) => !line.is_undone && (line.is_cut || line.seq === gone || isPicked(line)))
    .map((line) => ({
      seq: line.seq,
      t_s: line.t_s,
      label: line.cut_label || line.text.slice(0, 24),
      isPicked: isPicked(line),
      change: line.seq === gone ? ('gone' as const) : undefined,
    }));
  if (what && what.at_s !== null) cuts.push({ seq: ELSEWHERE, t_s: what.at_s, label: `what if: ${what.label}`, change: 'new' });
  return cuts.sort((a, b) => a.t_s - b.t_s);
}
