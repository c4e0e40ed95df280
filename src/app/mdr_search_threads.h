/*
 * mdr_search_threads.h - the search for recipes on as many cores as there are.
 *
 * Layer: app. core/recipe starts no threads; it says which parts may run side by side.
 */
#ifndef MDR_SEARCH_THREADS_H
#define MDR_SEARCH_THREADS_H

#include "core/recipe/mdr_search.h"

enum { MDR_SEARCH_THREADS_MAX = 8 };

/* Cores that are there, 1 .. MDR_SEARCH_THREADS_MAX. */
int mdr_search_threads_usual(void);
/* As mdr_search_recipes, and the same answer to the last bit, whatever the number of threads
 * (1 .. MDR_SEARCH_THREADS_MAX; fewer run where the system gives no more). */
mdr_code mdr_search_on_threads(const mdr_search_in *in, int shown, int threads, mdr_arena *arena,
                               mdr_search_out *out, mdr_err *err) MDR_MUST_CHECK;

#endif
