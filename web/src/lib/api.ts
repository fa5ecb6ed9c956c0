import type { FaultView, RefusalView } from './proto';

/** An answer that is not a success: one sentence for people, and the faults behind it. */
export class ApiProblem extends Error {
  constructor(
    sentence: string,
    readonly faults: FaultView[] = [],
    readonly status = 0,
  ) {
    super(sentence);
  }
}

async function answer<T>(asked: Promise<Response>): Promise<T> {
  let got: Response;
  try {
    got = await asked;
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error;
    throw new ApiProblem('The server does not answer. Is Drillyard running on the computer of this room?');
  }
  if (got.ok) return got.status === 204 ? (undefined as T) : ((await got.json()) as T);
  const body = (await got.json().catch(() => null)) as RefusalView | null;
  throw new ApiProblem(
    body?.sentence ?? `The server answered with fault ${got.status} and gave no reason.`,
    body?.faults ?? [],
    got.status,
  );
}

export const getJson = <T>(path: string, signal?: AbortSignal): Promise<T> =>
  answer<T>(fetch(path, { headers: { accept: 'application/json' }, ...(signal ? { signal } : {}) }));

const send = <T>(method: string, path: string, body: unknown, signal?: AbortSignal): Promise<T> =>
  answer<T>(
    fetch(path, {
      method,
      headers: { 'content-type': 'application/json', accept: 'application/json' },
      body: JSON.stringify(body),
      ...(signal ? { signal } : {}),
    }),
  );

export const postJson = <T>(path: string, body: unknown, signal?: AbortSignal): Promise<T> =>
  send<T>('POST', path, body, signal);
export const putJson = <T>(path: string, body: unknown): Promise<T> => send<T>('PUT', path, body);
export const deleteJson = <T>(path: string): Promise<T> => answer<T>(fetch(path, { method: 'DELETE' }));

/** What to show of anything that was thrown. */
export const sentenceOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));
