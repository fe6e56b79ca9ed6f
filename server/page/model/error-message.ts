import { Problem } from '../../../src/settings/problem.js';
import { NO_ANSWER, Trouble } from '../api.js';
import { inLabels } from '../labels.js';

/** What went wrong, for a person. */
export interface ErrorMessage {
  readonly what: string;
  readonly remedy: string;
}

/** An error in the page's own words. */
export function errorMessage(error: unknown): ErrorMessage {
  if (error instanceof Trouble || error instanceof Problem) {
    return { what: inLabels(error.what), remedy: inLabels(error.remedy) };
  }
  return { what: 'Something went wrong on this page', remedy: 'Load it again; your settings stay' };
}

/** HTTP status, RFC 9110, 15.5.10 (Conflict): a newer request for the same picture has taken this one's place. */
const SUPERSEDED = 409;
/** HTTP status, RFC 9110, 15.5.5 (Not Found): the server has no such picture, or has none any more. */
const GONE = 404;
/** HTTP status, RFC 9110, 15.5.21 (Unprocessable Content): the settings can't be used. */
const UNUSABLE = 422;

const hasStatus = (error: unknown, ...statuses: readonly number[]) =>
  error instanceof Trouble && statuses.includes(error.status);

export const isSuperseded = (error: unknown): boolean => hasStatus(error, SUPERSEDED);
export const isGone = (error: unknown): boolean => hasStatus(error, GONE);
export const isSilent = (error: unknown): boolean => hasStatus(error, NO_ANSWER);
/** An error that the request for the exact result meets too, and tells of. */
export const isToldWithResult = (error: unknown): boolean =>
  error instanceof Problem || hasStatus(error, NO_ANSWER, GONE, UNUSABLE);
