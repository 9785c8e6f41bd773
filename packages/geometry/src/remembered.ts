/** What makes each of them forget. */
const forgetting: (() => void)[] = [];

/**
 * The last answers of a function that is dear and depends on nothing but its question. A bed is clipped, and its sites are put in
 * order, again for every state of the machine that a run looks at: before and after a fact, both sides of a change, one router
 * like the next. Questions are compared whole, so a remembered answer is the one that would be found again.
 */
export class Remembered<Question, Answer> {
  readonly #capacity: number;
  readonly #same: (a: Question, b: Question) => boolean;
  /** The one that was asked for last comes first. */
  #known: readonly { readonly question: Question; readonly answer: Answer }[] = [];

  /** @param same whether two questions are the same; most are not, so it should tell them apart early */
  constructor(capacity: number, same: (a: Question, b: Question) => boolean) {
    this.#capacity = capacity;
    this.#same = same;
    forgetting.push(() => {
      this.#known = [];
    });
  }

  /** The answer to a question. Neither may be changed afterwards: both are kept. */
  answer(question: Question, find: (question: Question) => Answer): Answer {
    const known = this.#known.find((k) => this.#same(k.question, question)) ?? {
      question,
      answer: find(question),
    };
    this.#known = [known, ...this.#known.filter((k) => k !== known)].slice(0, this.#capacity);
    return known.answer;
  }
}

/** Whatever was found is found anew from now on: for those who measure how long that takes, or whether it comes out the same. */
export function forgetAnswers(): void {
  for (const forget of forgetting) forget();
}
