/*
 * mdr_app_fabric_map.h - the map of a fabric question: what is drawn and said of it, for the loop
 * length asked with and for others below and above it, so that a slider can be followed without
 * asking again.
 *
 * Layer: app, inside only. Methods: docs/methods/specification.md#map
 */
#ifndef MDR_APP_FABRIC_MAP_H
#define MDR_APP_FABRIC_MAP_H

#include "core/knit/mdr_spec_draw.h"
#include "wire/mdr_fabric_ask.h"
#include "wire/mdr_json.h"

/* A member of the question, as it would be asked again. */
typedef struct mdr_fabric_set {
    const char *key;
    double value;
    bool none; /* null: left out */
} mdr_fabric_set;

enum {
    MDR_FABRIC_SETS = 3,
    MDR_FABRIC_CURES = (int)MDR_SPEC_DEMANDS + (int)MDR_SPEC_CHANGES + 2 /* of the spirality */
};

/* What would do, by itself. Numbers of `sets` are rounded away from what is asked now, and still
 * do: the question with them is met. Those of the spirality, "feeders" and "spirality_pct", cure
 * that and nothing else. */
typedef struct mdr_fabric_cure {
    const char *of;    /* the key of a limit; or "loop", "yarn", "needles", "feeders" */
    bool upper;        /* of a limit: it goes up */
    double limit, by;  /* of a limit, in the unit of its key */
    double change_pct; /* of what is knitted */
    mdr_fabric_set sets[MDR_FABRIC_SETS];
    int n_sets;
    bool is_limit;
} mdr_fabric_cure;

/* As many as leave room for their labels; the loops move a few more into the window. */
enum { MDR_FABRIC_LINES_USUAL = 10, MDR_FABRIC_LINES = 32 };

typedef struct mdr_fabric_line {
    double shrink_pct;
    mdr_spec_line line;
} mdr_fabric_line;

/* One loop length. */
typedef struct mdr_fabric_frame {
    double change_pct, loop_cm; /* 0: not known, a washed sample */
    mdr_spec_in in;
    mdr_spec_answer answer;
    mdr_spec_outline allowed, feasible;
    mdr_spec_apart apart[MDR_SPEC_CLASHES];
    mdr_spec_spirality spirality; /* when it was asked for */
    mdr_fabric_set sets[MDR_FABRIC_SETS];
    int n_sets;
    mdr_fabric_cure cures[MDR_FABRIC_CURES];
    int n_cures;
    double width_lines_pct[MDR_FABRIC_LINES]; /* upright lines that are within the window */
    int n_width_lines;
} mdr_fabric_frame;

typedef struct mdr_fabric_map {
    mdr_spec_window window, box;
    mdr_fabric_line lines[MDR_FABRIC_LINES]; /* of equal length shrinkage: the mass of a metre, and
                                                so the line, does not depend on the loop */
    int n_lines;
    double width_step_pct; /* between lines of equal width shrinkage, in every frame */
    bool has_spirality;
    mdr_fabric_frame *frames;
    int n_frames, now; /* the one that is the question itself */
} mdr_fabric_map;

/* The fabric of the question; knit and constants are NULL for a washed sample. */
typedef struct mdr_fabric_case {
    const mdr_fabric_ask *ask;
    mdr_spec_in in;
    const mdr_knit *knit;
    const mdr_knit_constants *constants;
} mdr_fabric_case;

/* Loop lengths that could not be asked with themselves are left out. errors: MDR_E_NOMEM */
mdr_code mdr_fabric_map_make(const mdr_fabric_case *c, mdr_arena *arena, const mdr_fabric_map **out,
                             mdr_err *err) MDR_MUST_CHECK;
/* The member "map"; `map` is a mdr_fabric_map. */
void mdr_fabric_map_put(struct mdr_json *j, const void *map);

/* As a sample is measured: 0.01 g/m2 or cm. */
double mdr_fabric_measured(double v);
/* Everything of a frame's `cures`. */
void mdr_fabric_cures_find(const mdr_fabric_case *c, mdr_fabric_frame *frame);

#endif
