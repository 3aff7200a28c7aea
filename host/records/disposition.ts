// What a person decides of a unit after its verdict, in the words of the trade.

export type Disposition = 'accept' | 'rework' | 'reject' | 'hold';
