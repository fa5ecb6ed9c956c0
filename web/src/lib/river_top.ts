/** What River.svelte and its upper edge speak about. */

/** An event that cuts through the river. One that a what-if adds or moves has a `seq` below zero. */
export interface Cut {
  seq: number;
  t_s: number;
  label: string;
  isPicked?: boolean;
  /** In a what-if: "gone" stands where it was and is not there, "new" where it would be. */
  change?: 'gone' | 'new' | undefined;
}

export interface PhaseMark {
  t_s: number;
  name: string;
}
