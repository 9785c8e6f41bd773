import { type Finding, InputError, reporter } from '@bedledger/diagnostics';
import { POST_RULES, type PostCode } from './rules/post-rules.ts';

/** The one builder of this package's findings. */
const report = reporter<PostCode>(POST_RULES);

/** The error that ends the writing of a program: one finding about what the controller cannot express. */
export function refusal(finding: Finding<PostCode>): InputError {
  return new InputError([report(finding)]);
}
