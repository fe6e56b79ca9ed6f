import { Problem } from '../src/index.js';

/** What a request is told when it can't be answered: the words of a `Problem`. */
export interface ProblemWords {
  readonly what: string;
  readonly where: string;
  readonly remedy: string;
}

/** A refusal with its HTTP status (RFC 9110, section 15). */
export class Refusal extends Problem {
  constructor(
    readonly statusCode: number,
    ...[what, where, remedy, options]: ConstructorParameters<typeof Problem>
  ) {
    super(what, where, remedy, options);
  }
}

/** 503: everything is in order, but there is too much to do just now. */
export function busy(): Refusal {
  return new Refusal(
    503,
    'There is more to do than this computer can keep up with just now',
    'server',
    'Wait a moment and try again',
  );
}

/** 503: the work took longer than a person would wait. */
export function tooLong(): Refusal {
  return new Refusal(
    503,
    'This took too long and was given up',
    'server',
    'Try again, with a smaller picture or a smaller card',
  );
}

/** 409: a newer request for the same view came in, so that this answer is wanted no more. */
export function superseded(): Refusal {
  return new Refusal(
    409,
    'A newer request took the place of this one',
    'view',
    'Nothing needs to be done',
  );
}

export const toldOf = ({ what, where, remedy }: ProblemWords): ProblemWords => ({
  what,
  where,
  remedy,
});
