// What the scripts that call every operation have in common.
import { readFileSync } from "node:fs";

declare const process: { argv: string[]; exitCode: number };

type Answer = { data?: unknown; error?: unknown; response: Response };

export const base = process.argv[2] ?? "";
const pictures = process.argv[3] ?? "";
let tried = 0;
let failed = 0;

export async function called(operation: string, answer: Promise<Answer>): Promise<void> {
  tried += 1;
  const { data, error, response } = await answer;
  if (response.status !== 200 || data === undefined || error !== undefined) {
    failed += 1;
    console.error(`${operation}: ${response.status} ${JSON.stringify(error)} at ${response.url}`);
  }
}

// A query with a member that is JSON, which the generated client would write in brackets.
export function written(query: Record<string, unknown>): string {
  const parts = Object.entries(query).map(([name, value]) => [name, JSON.stringify(value)]);
  return new URLSearchParams(parts).toString();
}

export function file(name: string): File {
  return new File([readFileSync(`${pictures}/${name}`)], name);
}

export function form(fields: Record<string, unknown>, files: Record<string, string[]>): FormData {
  const built = new FormData();
  for (const [name, value] of Object.entries(fields)) built.append(name, String(value));
  for (const [name, names] of Object.entries(files)) for (const each of names) built.append(name, file(each));
  return built;
}

export function done(): void {
  if (tried === 0) console.error("no operation was called");
  process.exitCode = failed === 0 && tried > 0 ? 0 : 1;
}
