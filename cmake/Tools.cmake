# Build-time host tools, in C so that a build needs nothing but a compiler.
add_executable(csv2c tools/csv2c.c)   # one data table -> one const double array
add_executable(lang2c tools/lang2c.c) # the language catalogue -> sorted keys and texts
add_executable(embed tools/embed.c)   # files -> one array of {name, bytes, length}
foreach(tool csv2c lang2c embed)
  target_compile_options(${tool} PRIVATE -Wall -Wextra -Wpedantic)
endforeach()
target_link_libraries(csv2c PRIVATE m)

# data/units/NAME.csv -> const double NAME[][COLS], int NAME_rows; declared in src/ by hand.
function(mdr_table target csv)
  get_filename_component(name ${csv} NAME_WE)
  set(out ${CMAKE_BINARY_DIR}/generated/table_${name}.c)
  add_custom_command(OUTPUT ${out}
    COMMAND csv2c ${csv} ${out} DEPENDS csv2c ${csv} VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()

# Files of one catalogue -> mdr_lang_entries[] (see src/base/mdr_lang_table.h).
function(mdr_lang target code)
  set(out ${CMAKE_BINARY_DIR}/generated/lang_${code}.c)
  set(files ${ARGN})
  list(TRANSFORM files PREPEND ${CMAKE_SOURCE_DIR}/)
  add_custom_command(OUTPUT ${out}
    COMMAND lang2c ${files} ${out} DEPENDS lang2c ${files} VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()

# const mdr_embedded NAME[] (see src/base/mdr_embedded.h), ended by a NULL name.
function(mdr_embed target name root)
  set(out ${CMAKE_BINARY_DIR}/generated/${name}.c)
  set(files ${ARGN})
  list(TRANSFORM files PREPEND ${root}/ OUTPUT_VARIABLE paths)
  add_custom_command(OUTPUT ${out}
    COMMAND embed ${name} ${out} ${root} ${files} DEPENDS embed ${paths} VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()

# Bundles web/ with its own build script, then embeds what that lists in products.txt: a page more
# there needs no word here.
function(mdr_web target)
  set(dist ${CMAKE_BINARY_DIR}/web)
  if(NOT MDR_WEB)
    mdr_embed(${target} mdr_embed_web ${dist})
    return()
  endif()
  find_program(NPM npm REQUIRED)
  find_program(NODE node REQUIRED)
  file(GLOB_RECURSE sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/web/src/*)
  set(modules ${CMAKE_SOURCE_DIR}/web/node_modules/.package-lock.json)
  add_custom_command(OUTPUT ${modules}
    COMMAND ${NPM} ci --no-audit --no-fund --loglevel=error
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}/web
    DEPENDS ${CMAKE_SOURCE_DIR}/web/package-lock.json VERBATIM)
  set(products ${dist}/products.txt)
  add_custom_command(OUTPUT ${products}
    COMMAND ${NODE} build.mjs ${dist}
    WORKING_DIRECTORY ${CMAKE_SOURCE_DIR}/web
    DEPENDS ${modules} ${CMAKE_SOURCE_DIR}/web/build.mjs ${CMAKE_SOURCE_DIR}/web/tsconfig.json ${sources} VERBATIM)
  set(out ${CMAKE_BINARY_DIR}/generated/mdr_embed_web.c)
  add_custom_command(OUTPUT ${out}
    COMMAND embed mdr_embed_web ${out} ${dist} @${products} DEPENDS embed ${products} VERBATIM)
  target_sources(${target} PRIVATE ${out})
endfunction()
