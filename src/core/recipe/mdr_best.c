#include "core/recipe/mdr_best.h"

bool mdr_best_is_worse(const mdr_best *a, const mdr_best *b)
{
    return a->faults != b->faults ? a->faults > b->faults
           : a->score > b->score  ? true
           : a->score < b->score  ? false
                                  : a->number > b->number;
}

static void swap(mdr_best *a, mdr_best *b)
{
    const mdr_best t = *a;
    *a = *b;
    *b = t;
}

static void sink(mdr_best *heap, int n)
{
    for (int i = 0;;) {
        const int left = 2 * i + 1, right = left + 1;
        int top = left < n && mdr_best_is_worse(&heap[left], &heap[i]) ? left : i;
        top = right < n && mdr_best_is_worse(&heap[right], &heap[top]) ? right : top;
        if (top == i) {
            return;
        }
        swap(&heap[i], &heap[top]);
        i = top;
    }
}

int mdr_best_offer(mdr_best *heap, int n, int room, mdr_best one)
{
    if (n == room) {
        if (mdr_best_is_worse(&heap[0], &one)) {
            heap[0] = one;
            sink(heap, n);
        }
        return n;
    }
    int i = n;
    heap[i] = one;
    while (i > 0 && mdr_best_is_worse(&heap[i], &heap[(i - 1) / 2])) {
        swap(&heap[i], &heap[(i - 1) / 2]);
        i = (i - 1) / 2;
    }
    return n + 1;
}
