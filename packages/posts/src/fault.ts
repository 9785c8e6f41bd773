import { InputError } from '@bedledger/diagnostics';

/** An `InputError` with one diagnostic of severity stop: what the controller cannot express, and what to do next. */
export function fault(
  code: string,
  message: string,
  help: string,
  facts: Readonly<Record<string, string | number | boolean>> = {},
): InputError {
  return new InputError([{ code: `post/${code}`, severity: 'stop', message, help, facts }]);
}
